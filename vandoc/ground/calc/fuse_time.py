"""Operating time of fuses, as bounded by the time-current gates of their family."""

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
    """Bounds on an operating time.

    Attributes
    ----------
    shortest_s : float
        The fuse does not operate before this time. [s]
    longest_s : float
        The fuse has operated by this time; infinity if it need not operate at all. [s]
    source : str
    from_memory : bool
        Whether either bound uses a figure recalled, not read.
    """

    shortest_s: float
    longest_s: float
    source: str
    from_memory: bool


def opening_time(family: str, rating_a: float, current_a: float) -> OpeningTime | None:
    """Return the bounds that the gates of a family set on an operating time.

    The operating time falls as the current rises. Between two gates it is therefore at least the shortest
    time of the higher gate and at most the longest time of the lower gate. Above the highest gate
    the shortest time is inversely proportional to the square of the current (constant melting integral).

    Parameters
    ----------
    family : str
        As named in a van file.
    rating_a : float
        Rated current, scalar, above 0. [A]
    current_a : float
        Current through the fuse, scalar, at least 0. [A]

    Returns
    -------
    OpeningTime or None
        None if no gates of the family are known.

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


def let_through_a2s(family: str, rating_a: float, current_a: float) -> float | None:
    """Return the largest I²t that a fuse lets through before it has melted.

    The melting integral of a fuse does not rise with the current, because less heat escapes. It is therefore
    at most the square of the current of any gate below, times the longest time of that gate.

    Parameters
    ----------
    family : str
        As named in a van file.
    rating_a : float
        Rated current, scalar, above 0. [A]
    current_a : float
        Current through the fuse, scalar, at least 0. [A]

    Returns
    -------
    float or None
        I²t, scalar; infinity if it need not operate; None if no gates of the family are known. [A²·s]

    Raises
    ------
    ValueError
        If a number is outside its domain.

    Examples
    --------
    >>> let_through_a2s("C", 10.0, 120.0), let_through_a2s("C", 10.0, 12.0)
    (360.0, inf)

    References
    ----------
    .. [1] As :func:`opening_time`; melting integral: textbook result, no source.
    """
    multiple = not_negative("current_a", current_a) / positive("rating_a", rating_a)
    gates = [row for row in rows("fuse_time_gates", _GateRow) if row.family == family]
    if not gates:
        return None
    sure = [
        (gate.multiple * rating_a) ** 2 * gate.longest_s
        for gate in gates
        if gate.longest_s is not None and gate.multiple <= multiple
    ]
    return min(sure, default=inf)


def sure_multiple(family: str) -> float | None:
    """Return the multiple of its rating from which a fuse is certain to operate eventually.

    Parameters
    ----------
    family : str
        As named in a van file.

    Returns
    -------
    float or None
        Multiple, scalar, or None if no gates of the family are known. [1]

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


@dataclass(frozen=True)
class ConventionalCurrent:
    """The multiple of its rating at which a fuse is certain to open within its conventional time."""

    multiple: float
    source: str
    from_memory: bool


def conventional_current(family: str) -> ConventionalCurrent | None:
    """Return the conventional operating current I₂ of a family, as a multiple of the rating.

    Parameters
    ----------
    family : str
        As named in a van file.

    Returns
    -------
    ConventionalCurrent or None
        None if no gates of the family are known.

    Examples
    --------
    >>> conventional_current("E").multiple, conventional_current("ANL")
    (1.35, None)

    References
    ----------
    .. [1] As :func:`opening_time`.
    """
    gates = (row for row in rows("fuse_time_gates", _GateRow) if row.family == family)
    gate = next((gate for gate in gates if gate.longest_s is not None), None)
    return None if gate is None else ConventionalCurrent(gate.multiple, gate.source, gate.from_memory)


CONTINUOUS_S = 3600.0  # a current carried for this long counts as continuous


def holding_multiple(family: str) -> float:
    """Return the multiple of its rating that a fuse carries for hours without operating.

    Parameters
    ----------
    family : str
        As named in a van file.

    Returns
    -------
    float
        Multiple, scalar; 1 if no gates of the family are known. [1]

    Examples
    --------
    >>> holding_multiple("C"), holding_multiple("class-T")
    (1.1, 1.0)

    References
    ----------
    .. [1] As :func:`opening_time`.
    """
    gates = (row for row in rows("fuse_time_gates", _GateRow) if row.family == family)
    return max((gate.multiple for gate in gates if gate.shortest_s >= CONTINUOUS_S), default=1.0)
