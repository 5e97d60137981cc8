"""The largest conductor that a terminal takes: the contact of a blade fuse, or the lug on a stud."""

from dataclasses import dataclass
from types import MappingProxyType

from vandoc.ground.data import rows


@dataclass(frozen=True)
class TerminalSize:
    """The largest conductor of a terminal: with an ordinary lug, and with a narrow one. [mm²]"""

    terminal: str
    usual_mm2: float
    most_mm2: float
    source: str
    from_memory: bool


STUD_OF = MappingProxyType({"SF30": "M5", "SF51": "M8", "single-bolt": "M8", "ANL": "M8"})
"""The thread on which a fuse of a bolted family is held: common practice, no source."""


def terminal_size(terminal: str) -> TerminalSize | None:
    """Return the largest conductor of a terminal.

    Parameters
    ----------
    terminal : str
        A thread such as ``"M8"``, or a family of fuses.

    Returns
    -------
    TerminalSize or None
        None if nothing is known of it.

    Examples
    --------
    >>> terminal_size("C").most_mm2, terminal_size("SF30").usual_mm2, terminal_size("class-T")
    (6.0, 16.0, None)

    References
    ----------
    .. [1] Common practice, no source; the manufacturer's figure takes precedence.
    """
    wanted = STUD_OF.get(terminal, terminal)
    return next((row for row in rows("terminal_sizes", TerminalSize) if row.terminal == wanted), None)
