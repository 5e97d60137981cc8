"""Circuit breakers: the current from which one of a known curve surely trips at once."""

from dataclasses import dataclass

from vandoc.ground.calc.require import positive
from vandoc.ground.data import rows


@dataclass(frozen=True)
class _CurveRow:
    curve: str
    sure_multiple: float
    within_s: float
    dc_factor: float
    source: str
    from_memory: bool


@dataclass(frozen=True)
class Instant:
    """A current from which a circuit breaker surely trips within a time. [A, s]"""

    amps_a: float
    within_s: float
    source: str
    from_memory: bool


def sure_instant_a(curve: str, rating_a: float) -> Instant:
    """Return the direct current from which a circuit breaker surely trips instantaneously.

    Parameters
    ----------
    curve : str
        Its type: ``"B"``, ``"C"`` or ``"D"``.
    rating_a : float
        Rated current, scalar, above 0. [A]

    Raises
    ------
    ValueError
        If the curve is not known or the rating is not a positive number.

    Examples
    --------
    >>> sure_instant_a("C", 16.0).amps_a
    240.0

    References
    ----------
    .. [1] IEC 60898-1, from memory; for direct current 1.5 times as much: common practice, no source.
    """
    positive("rating_a", rating_a)
    for row in rows("breaker_curves", _CurveRow):
        if row.curve == curve:
            multiple = row.sure_multiple * row.dc_factor
            return Instant(multiple * rating_a, row.within_s, row.source, row.from_memory)
    raise ValueError(f"the curve must be known, got {curve!r}")
