"""Working of a figure for checking by hand: formula, values of this van, sources, assumptions."""

import re
from collections.abc import Callable
from dataclasses import dataclass
from math import isinf

from vandoc.ground.figures import Sure, duration, number, quantity, scale, span, unit_word
from vandoc.ground.messages import Messages
from vandoc.pages.manual.text import sourced
from vandoc.physics.energy import Figure

ENERGY = Messages("vandoc.pages.manual", "energy")
TIMES_REQUIRED = ("to_full",)  # times required, rounded up; all others are times available, rounded down
IN_HOURS = {"h": 1.0, "d": 24.0}
YEARS_DIGITS = 2
_SYMBOL = re.compile(r"\{([^{}]*)\}")


@dataclass(frozen=True)
class Quantity:
    """One quantity of the working; numbers as text."""

    symbol: str
    meaning: str
    low: str
    high: str
    unit: str
    source: str


@dataclass(frozen=True)
class FigureWorking:
    """A figure with its working.

    Attributes
    ----------
    title, result : str
        The name of the figure, and the resulting range.
    formula : str
        Empty if it was calculated by time steps.
    ends : tuple of (name, calculation)
        The formula with the values of the worst and best case; a single entry if both are equal.
    terms : tuple of Quantity
    assumptions : tuple of str
        The assumptions as text.
    """

    title: str
    result: str
    formula: str
    ends: tuple[tuple[str, str], ...]
    terms: tuple[Quantity, ...]
    assumptions: tuple[str, ...]


def working(kind: str, figure: Figure, name: Callable[[str], str] = str, **said: str) -> FigureWorking:
    """Return a figure with its working.

    Parameters
    ----------
    kind : str
        A key of `figure` in `energy.yml`.
    figure : Figure
    name : callable
        Returns the name of a symbol that has no message, such as a charger.
    **said : str
        Values for the title.
    """
    sure: Sure = "up" if kind in TIMES_REQUIRED else "down"
    every: dict[str, str] = ENERGY["term.any"] | ENERGY["term"].get(kind, {})
    terms = tuple(
        Quantity(
            term.symbol if len(term.symbol) == 1 else "",
            every.get(term.symbol) or name(term.symbol),
            _shown(term.low),
            _shown(term.high),
            "" if term.unit == "1" else unit_word(term.unit),
            sourced(term.source, term.from_memory) if term.source else "",
        )
        for term in figure.terms
    )
    return FigureWorking(
        ENERGY.say(f"figure.{kind}", **said),
        spread(figure, sure),
        _SYMBOL.sub(lambda found: _symbol(found[1], every, name), figure.formula),
        _sums(figure, sure),
        terms,
        assumptions(figure),
    )


def assumptions(*figures: Figure) -> tuple[str, ...]:
    """Return the assumptions of figures as text, each once."""
    found = dict.fromkeys(one for figure in figures for one in figure.assumptions)
    return tuple(ENERGY.say(f"assumption.{one}") for one in found)


def spread(figure: Figure, sure: Sure = "down") -> str:
    """Return a figure as a range with its unit.

    Parameters
    ----------
    figure : Figure
    sure : {"down", "up"}
        The safe side of a time: `down` for how long something lasts, `up` for how long it takes.

    Examples
    --------
    >>> spread(Figure(1.46, 2.57, "h", "", ())), spread(Figure(1.46, 2.57, "h", "", ()), "up")
    ('1.4 to 2.5\\xa0h', '1.5 to 2.6\\xa0h')
    """
    if isinf(figure.low):
        return ENERGY.say("endless" if sure == "down" else "never")
    if isinf(figure.high):
        low = _ends_of(figure, figure.low, sure)
        return ENERGY.say("endless_at_best" if sure == "down" else "never_at_worst", low=low)
    return _ends_of(figure, figure.high, sure)


def _ends_of(figure: Figure, high: float, sure: Sure) -> str:
    if figure.unit in IN_HOURS:
        hours = IN_HOURS[figure.unit]
        by_day = figure.unit == "d" and sure == "up"  # solar charging, which stops at night
        return duration(figure.low * hours, high * hours, sure, in_days=by_day)
    if figure.unit == "a":
        return span(figure.low, high, "a", YEARS_DIGITS, sure)
    return span(figure.low, high, figure.unit)


def _sums(figure: Figure, sure: Sure) -> tuple[tuple[str, str], ...]:
    if not figure.formula:
        return ()
    least = _filled(figure, {term.symbol: term.low for term in figure.terms}, figure.low, sure)
    most = _filled(figure, {term.symbol: term.high for term in figure.terms}, figure.high, sure)
    return (("", least),) if least == most else ((ENERGY.say("least"), least), (ENERGY.say("most"), most))


def _filled(figure: Figure, values: dict[str, float], result: float, sure: Sure) -> str:
    left = _SYMBOL.sub(lambda found: _shown(values[found[1]]), figure.formula)
    if isinf(result):
        return ENERGY.say("sum_endless" if sure == "down" else "sum_never", left=left)
    if figure.unit not in IN_HOURS:
        return f"{left} = {quantity(result, figure.unit)}"
    own_h, longest = IN_HOURS[figure.unit], max(end for end in (figure.low, figure.high) if not isinf(end))
    unit_h, unit = scale(longest * own_h)
    return f"{_times(left, own_h / unit_h)} = {quantity(result * own_h / unit_h, unit)}"


def _times(left: str, factor: float) -> str:
    """The left side of an equation, converted to another unit of time."""
    if factor == 1:
        return left
    return f"({left}) · {number(factor)}" if factor > 1 else f"({left}) / {number(1 / factor)}"


def _symbol(symbol: str, known: dict[str, str], name: Callable[[str], str]) -> str:
    return symbol if len(symbol) == 1 else known.get(symbol) or name(symbol)


def _shown(value: float) -> str:
    return "∞" if isinf(value) else number(value)
