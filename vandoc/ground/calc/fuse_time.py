"""How long a fuse takes to open, as far as the time-current gates of its family say."""

from dataclasses import dataclass
from math import inf

from vandoc.ground.calc.require import not_negative, positive
from vandoc.ground.data import rows


@dataclass(frozen=True)
class _GateRow:
    family: str
    multiple: float
    shortest_s: float
    longest_s: float | None
    source: str
    from_memory: bool


@dataclass(frozen=True)
class OpeningTime:
    """Bounds on an opening time.

    Attributes
    ----------
    shortest_s : float
        It holds at least so long. [s]
    longest_s : float
        It has opened by then; infinity where it need not open at all. [s]
    source : str
    from_memory : bool
        Whether either bound rests on a figure recalled, not read.
    """

    shortest_s: float
    longest_s: float
    source: str
    from_memory: bool


def opening_time(family: str, rating_a: float, current_a: float) -> OpeningTime | None:
    """Return the bounds that the gates of a family put on an opening time.

    A fuse opens the faster the more current it carries, so between two gates it holds at least as long as at
    the higher one may be shortest, and has opened when at the lower one it must have. Above the highest gate
    the shortest time falls with the square of the current, as the same heat melts it.

    Parameters
    ----------
    family : str
        As a van file names it.
    rating_a : float
        Rated current, scalar, above 0. [A]
    current_a : float
        Current through the fuse, scalar, at least 0. [A]

    Returns
    -------
    OpeningTime or None
        None where no gates of the family are at hand.

    Raises
    ------
    ValueError
        If a number is outside its domain.

    Examples
    --------
    >>> found = opening_time("E", 50.0, 120.0)
    >>> found.shortest_s, found.longest_s
    (0.2, 60.0)
    >>> opening_time("E", 50.0, 60.0).longest_s
    inf

    References
    ----------
    .. [1] DIN 72581-3 form E (read in an extract); ISO 8820-3 and ISO 8820-5 from memory. Above the highest
       gate: constant melting integral, textbook approximation.
    """
    multiple = not_negative("current_a", current_a) / positive("rating_a", rating_a)
    gates = [row for row in rows("fuse_time_gates", _GateRow) if row.family == family]
    if not gates:
        return None
    below = [gate for gate in gates if gate.multiple <= multiple]
    above = [gate for gate in gates if gate.multiple > multiple]
    last = gates[-1]
    upper = below[-1] if below and below[-1].multiple == multiple else above[0] if above else last
    shortest = upper.shortest_s * (last.multiple / max(multiple, last.multiple)) ** 2
    lower = below[-1] if below else gates[0]
    longest = inf if not below or lower.longest_s is None else lower.longest_s
    used = {gate.source: gate.from_memory for gate in (lower, upper)}
    return OpeningTime(shortest, longest, "; ".join(used), any(used.values()))


def sure_multiple(family: str) -> float | None:
    """Return the multiple of its rating from which a fuse is sure to open at some time.

    Parameters
    ----------
    family : str
        As a van file names it.

    Returns
    -------
    float or None
        Multiple, scalar, or None where no gates of the family are at hand. [1]

    Examples
    --------
    >>> sure_multiple("C"), sure_multiple("class-T")
    (1.35, None)

    References
    ----------
    .. [1] As :func:`opening_time`.
    """
    gates = (row for row in rows("fuse_time_gates", _GateRow) if row.family == family)
    return next((gate.multiple for gate in gates if gate.longest_s is not None), None)


HOLDS_S = 3600.0  # what a fuse carries so long, it carries in use


def holding_multiple(family: str) -> float:
    """Return the multiple of its rating that a fuse carries for hours.

    Parameters
    ----------
    family : str
        As a van file names it.

    Returns
    -------
    float
        Multiple, scalar; 1 where no gates of the family are at hand. [1]

    Examples
    --------
    >>> holding_multiple("C"), holding_multiple("class-T")
    (1.1, 1.0)

    References
    ----------
    .. [1] As :func:`opening_time`.
    """
    gates = (row for row in rows("fuse_time_gates", _GateRow) if row.family == family)
    return max((gate.multiple for gate in gates if gate.shortest_s >= HOLDS_S), default=1.0)
