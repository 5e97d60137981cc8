"""Tightening torque of stud terminals: plausible range for each thread."""

from dataclasses import dataclass

from vandoc.ground.data import constant, rows


@dataclass(frozen=True)
class _TorqueRow:
    thread: str
    joint: str
    low_nm: float
    high_nm: float
    source: str
    from_memory: bool


@dataclass(frozen=True)
class TorqueRange:
    """Lowest and highest torque listed for a thread. [N·m]"""

    low_nm: float
    high_nm: float
    source: str
    from_memory: bool


THREADS = tuple(dict.fromkeys(row.thread for row in rows("torque", _TorqueRow)))


def torque_range_nm(thread: str) -> TorqueRange:
    """Return the plausible range of the tightening torque of a stud terminal.

    The range spans brass studs to steel bolts, so it only catches typing errors; the manufacturer's figure
    takes precedence.

    Parameters
    ----------
    thread : str
        One of ``THREADS``: M4 to M12.

    Returns
    -------
    TorqueRange
        From memory if either end is.

    Raises
    ------
    ValueError
        If the table has no such thread.

    Examples
    --------
    >>> torque_range_nm("M8").low_nm, torque_range_nm("M8").high_nm
    (6.0, 17.0)

    References
    ----------
    .. [1] DIN 46200 and IEC 60947-1 class figures, Copper Development Association Publication 22, bolt
       tables; see the rows.
    """
    if thread not in THREADS:
        raise ValueError(f"thread must be one of {', '.join(THREADS)}, got {thread!r}")
    table = [row for row in rows("torque", _TorqueRow) if row.thread == thread]
    low = min(table, key=lambda row: (row.low_nm, row.from_memory))
    high = min(table, key=lambda row: (-row.high_nm, row.from_memory))
    return TorqueRange(
        low.low_nm, high.high_nm, f"{low.source}; {high.source}", low.from_memory or high.from_memory
    )


def battery_torque_nm(thread: str | None) -> TorqueRange:
    """Return the plausible range of the tightening torque of a battery terminal.

    Parameters
    ----------
    thread : str or None
        One of ``THREADS``; None for clamps on tapered posts.

    Returns
    -------
    TorqueRange
        That of the thread in general if no list has it for batteries.

    Raises
    ------
    ValueError
        If the table has no such thread.

    Examples
    --------
    >>> battery_torque_nm("M8").high_nm, battery_torque_nm(None).high_nm
    (12.0, 15.0)

    References
    ----------
    .. [1] Common practice, no source; the figure on the battery's label takes precedence.
    """
    if thread is None:
        low, high = constant("least torque of a post clamp"), constant("largest torque of a post clamp")
        return TorqueRange(low.value, high.value, high.source, high.from_memory)
    found = [row for row in rows("torque", _TorqueRow) if row.thread == thread and "battery" in row.joint]
    if not found:
        return torque_range_nm(thread)
    return TorqueRange(found[0].low_nm, found[0].high_nm, found[0].source, found[0].from_memory)


def any_torque_nm() -> TorqueRange:
    """Return the range that spans the studs of leisure equipment, M4 to M10, for an unknown thread.

    Examples
    --------
    >>> any_torque_nm().low_nm, any_torque_nm().high_nm
    (1.1, 35.0)

    References
    ----------
    .. [1] As :func:`torque_range_nm`.
    """
    low, high = torque_range_nm("M4"), torque_range_nm("M10")
    sources = f"{low.source}; {high.source}"
    return TorqueRange(low.low_nm, high.high_nm, sources, low.from_memory or high.from_memory)
