"""Usual starting currents and times of devices for which nothing is stated."""

from dataclasses import dataclass

from vandoc.ground.calc.fuse_time import holding_multiple, opening_time
from vandoc.ground.data import constant, rows

LONG_S = 5.0  # a start that lasts longer is no short peak; own choice


@dataclass(frozen=True)
class UsualStart:
    """How devices of one kind start.

    Attributes
    ----------
    kind : str
    lowest, highest : float
        Starting current as a multiple of the running current. [1]
    time_s : float
        Longest usual time for which it flows. [s]
    source : str
    from_memory : bool
    """

    kind: str
    lowest: float
    highest: float
    time_s: float
    source: str
    from_memory: bool


def usual_start(kind: str) -> UsualStart:
    """Return how devices of one kind usually start.

    Parameters
    ----------
    kind : str
        ``"compressor"``, ``"glow-plug"``, ``"pump"``, ``"motor"``, ``"surge"`` (of an inverter) or
        ``"not stated"``.

    Raises
    ------
    ValueError
        If the kind is not in the table.

    Examples
    --------
    >>> usual_start("pump").highest, usual_start("glow-plug").time_s
    (4.0, 120.0)

    References
    ----------
    .. [1] Common practice, no source.
    """
    table = {row.kind: row for row in rows("start_kinds", UsualStart)}
    if kind not in table:
        raise ValueError(f"kind must be one of {', '.join(table)}, got {kind!r}")
    return table[kind]


def carried_at_start_a(family: str, rating_a: float, time_s: float) -> float:
    """Return the current that a fuse carries while a device starts.

    A short peak may be a usual multiple of the rating. A longer start may be as large only if the gates of
    the family show that the fuse carries it for so long; otherwise what it carries for hours counts.

    Parameters
    ----------
    family : str
        As named in a van file.
    rating_a : float
        Rated current, scalar, above 0. [A]
    time_s : float
        Duration of the start, scalar, at least 0. [s]

    Returns
    -------
    float
        Scalar. [A]

    Examples
    --------
    >>> carried_at_start_a("C", 10.0, 0.5), carried_at_start_a("C", 10.0, 90.0)
    (20.0, 11.0)

    References
    ----------
    .. [1] Common practice, no source; gates as :func:`~vandoc.ground.calc.fuse_time.opening_time`.
    """
    brief = constant("start-up multiple").value * rating_a
    if time_s <= LONG_S * (1 + 1e-6):
        return brief
    time = opening_time(family, rating_a, brief)
    return brief if time is not None and time.shortest_s >= time_s else holding_multiple(family) * rating_a
