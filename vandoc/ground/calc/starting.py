"""Usual starting currents and times of devices for which nothing is stated."""

from dataclasses import dataclass

from vandoc.ground.data import rows


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
