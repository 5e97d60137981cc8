"""Running time of a partly charged battery at a given load."""

from math import inf

from vandoc.ground.calc.discharge import rate_part
from vandoc.ground.calc.require import not_negative, positive


def remaining_h(
    charge: float,
    keep: float,
    capacity_ah: float,
    rated_h: float,
    left: float,
    exponent: float,
    current_a: float,
) -> float:
    """Return how long a current can be drawn until a battery reaches its minimum state of charge.

    Parameters
    ----------
    charge, keep : float
        Present and minimum state of charge, scalars from 0 to 1. [1]
    capacity_ah, rated_h : float
        Rated capacity and the hours of its rating, scalars, above 0. [Ah], [h]
    left : float
        Fraction of the capacity that remains after ageing and at low temperature, scalar from 0 to 1. [1]
    exponent : float
        Peukert exponent, scalar, at least 1. [1]
    current_a : float
        Scalar, at least 0. [A]

    Returns
    -------
    float
        Time, scalar; 0 if the charge is at or below the minimum, infinite without a current. [h]

    Raises
    ------
    ValueError
        If a number is outside its domain.

    Examples
    --------
    >>> remaining_h(1.0, 0.5, 100.0, 20.0, 1.0, 1.2, 5.0)
    10.0
    >>> round(remaining_h(0.8, 0.2, 200.0, 20.0, 0.9, 1.05, 20.0), 2)
    5.22

    References
    ----------
    .. [1] Conservation of charge, with the rate as in :func:`~vandoc.ground.calc.discharge.rate_part`
       (Peukert 1897).
    """
    for name, part in (("charge", charge), ("keep", keep), ("left", left)):
        if not 0 <= part <= 1:
            raise ValueError(f"{name} must be from 0 to 1, got {part!r}")
    positive("capacity_ah", capacity_ah)
    drawable_ah = max(0.0, charge - keep) * capacity_ah * left
    if drawable_ah == 0:
        return 0.0
    if not_negative("current_a", current_a) == 0:
        return inf
    return drawable_ah * rate_part(capacity_ah, rated_h, current_a, exponent) / current_a
