"""The smallest conductor that a standard permits for its strength, whatever its current."""

from dataclasses import dataclass

from vandoc.ground.calc.require import not_negative
from vandoc.ground.data import rows


@dataclass(frozen=True)
class SmallestConductor:
    """A rule of one basis; it applies above a length [m] and from a current [A] on."""

    basis: str
    sheathed: bool
    area_mm2: float
    longer_than_m: float
    from_a: float
    source: str
    from_memory: bool


def smallest_conductor(
    sheathed: bool, length_m: float, current_a: float, bases: tuple[str, ...]
) -> SmallestConductor | None:
    """Return the strictest rule for a conductor.

    Parameters
    ----------
    sheathed : bool
        Whether it is a core of a sheathed cable.
    length_m : float
        Scalar, at least 0. [m]
    current_a : float
        Current in normal operation, scalar, at least 0. [A]
    bases : tuple of str
        The standards that apply; if none of them has a rule, all others do.

    Returns
    -------
    SmallestConductor or None
        None if no rule applies to such a length and current.

    Raises
    ------
    ValueError
        If a number is negative or not finite.

    Examples
    --------
    >>> smallest_conductor(False, 2.0, 3.0, ("33 CFR 183.425", "ISO 13297")).area_mm2
    1.3
    >>> smallest_conductor(False, 2.0, 0.1, ("33 CFR 183.425",)) is None
    True

    References
    ----------
    .. [1] 33 CFR 183.425(d), (e), (f), (g).
    .. [2] ISO 10133:2012, 7.7.
    """
    not_negative("length_m", length_m)
    not_negative("current_a", current_a)
    table = [row for row in rows("smallest_conductor", SmallestConductor) if row.sheathed == sheathed]
    named = [row for row in table if row.basis in bases] or table
    found = [row for row in named if length_m > row.longer_than_m and current_a >= row.from_a]
    return max(found, key=lambda row: row.area_mm2, default=None)
