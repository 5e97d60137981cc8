"""Tightening torque of stud terminals: plausible range for each thread."""

from dataclasses import dataclass

from vandoc.ground.data import Constant, constant, rows


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


def charger_terminal_torque() -> Constant:
    """Return the usual tightening torque of charger terminals; always use a torque tool.

    Examples
    --------
    >>> charger_terminal_torque().value, charger_terminal_torque().unit
    (7.0, 'N·m')

    References
    ----------
    .. [1] Common practice, no source.
    """
    return constant("charger terminal torque")
