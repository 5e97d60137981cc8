"""Battery life in years, from charge throughput and calendar ageing."""

from math import inf

from vandoc.ground.calc.require import not_negative, positive


def years_until_worn_out(
    capacity_ah: float, cycles: float, depth: float, drawn_ah_per_year: float, calendar_a: float
) -> float:
    """Return the battery life in years.

    The cycle life is converted to a total charge throughput: shallower cycles count in proportion,
    which underestimates the life of lead batteries.

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
        Calendar life, scalar, above 0. [a]

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
    .. [1] Common practice, no source: constant charge throughput over the life, limited by use or age,
       whichever ends first.
    """
    if positive("depth", depth) > 1:
        raise ValueError(f"depth must not be above 1, got {depth!r}")
    life_ah = positive("cycles", cycles) * depth * positive("capacity_ah", capacity_ah)
    drawn = not_negative("drawn_ah_per_year", drawn_ah_per_year)
    return min(positive("calendar_a", calendar_a), life_ah / drawn if drawn else inf)
