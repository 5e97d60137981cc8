"""Years until a battery is worn out, by the charge that passes through it and by age."""

from math import inf

from vandoc.ground.calc.require import not_negative, positive


def years_until_worn_out(
    capacity_ah: float, cycles: float, depth: float, drawn_ah_per_year: float, calendar_a: float
) -> float:
    """Return the years until a battery is worn out.

    A cycle life stands for a charge that may pass through the battery: shallower cycles count in proportion,
    which errs on the short side for lead.

    Parameters
    ----------
    capacity_ah : float
        Rated capacity, scalar, above 0. [Ah]
    cycles : float
        Cycle life at ``depth``, scalar, above 0. [1]
    depth : float
        Depth of discharge at which the cycle life is stated, scalar, above 0, at most 1. [1]
    drawn_ah_per_year : float
        Charge drawn in a year, scalar, at least 0. [Ah/a]
    calendar_a : float
        Years until it is worn out by age alone, scalar, above 0. [a]

    Returns
    -------
    float
        Years, scalar. [a]

    Raises
    ------
    ValueError
        If a number is outside its domain.

    Examples
    --------
    >>> years_until_worn_out(100.0, 1000.0, 0.5, 10000.0, 8.0)
    5.0
    >>> years_until_worn_out(100.0, 1000.0, 0.5, 1000.0, 8.0)
    8.0

    References
    ----------
    .. [1] Common practice, no source: life as a constant charge throughput, and whichever of use and age
       ends first.
    """
    if positive("depth", depth) > 1:
        raise ValueError(f"depth must not be above 1, got {depth!r}")
    life_ah = positive("cycles", cycles) * depth * positive("capacity_ah", capacity_ah)
    drawn = not_negative("drawn_ah_per_year", drawn_ah_per_year)
    return min(positive("calendar_a", calendar_a), life_ah / drawn if drawn else inf)
