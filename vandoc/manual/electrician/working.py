"""A figure shown so that it can be done again by hand: formula, numbers of this van, sources, assumptions."""

import re
from collections.abc import Callable
from dataclasses import dataclass
from math import isinf

from vandoc.energy import Figure
from vandoc.manual.text import number, say, sourced
from vandoc.messages import Messages

ENERGY = Messages("vandoc.manual", "energy")
_SYMBOL = re.compile(r"\{([^{}]*)\}")


@dataclass(frozen=True)
class Quantity:
    """One quantity of a sum; numbers as text."""

    symbol: str
    meaning: str
    low: str
    high: str
    unit: str
    source: str


@dataclass(frozen=True)
class Working:
    """A figure with its sum.

    Attributes
    ----------
    title, result : str
        What it is, and the range that came out.
    formula : str
        Empty where it was found step by step in time.
    ends : tuple of (name, sum)
        The formula with the numbers of either end; one where both are the same.
    terms : tuple of Quantity
    assumptions : tuple of str
        In words.
    """

    title: str
    result: str
    formula: str
    ends: tuple[tuple[str, str], ...]
    terms: tuple[Quantity, ...]
    assumptions: tuple[str, ...]


def working(kind: str, figure: Figure, name: Callable[[str], str] = str, **said: str) -> Working:
    """Return a figure with its sum.

    Parameters
    ----------
    kind : str
        A key of `figure` in `energy.yml`.
    figure : Figure
    name : callable
        What to call a symbol that no message knows, such as a charger.
    **said : str
        For the title.
    """
    every: dict[str, str] = ENERGY["term.any"] | ENERGY["term"].get(kind, {})
    terms = tuple(
        Quantity(
            term.symbol if len(term.symbol) == 1 else "",
            every.get(term.symbol) or name(term.symbol),
            _shown(term.low),
            _shown(term.high),
            "" if term.unit == "1" else term.unit,
            sourced(term.source, term.from_memory) if term.source else "",
        )
        for term in figure.terms
    )
    return Working(
        ENERGY.say(f"figure.{kind}", **said),
        spread(figure),
        _SYMBOL.sub(lambda found: _symbol(found[1], every, name), figure.formula),
        _ends(figure),
        terms,
        assumptions(figure),
    )


def assumptions(*figures: Figure) -> tuple[str, ...]:
    """Return what figures take for granted, in words, each once."""
    found = dict.fromkeys(one for figure in figures for one in figure.assumptions)
    return tuple(ENERGY.say(f"assumption.{one}") for one in found)


def spread(figure: Figure) -> str:
    """Return a figure as a range with its unit.

    Examples
    --------
    >>> spread(Figure(1.0, 2.5, "h", "", ()))
    '1 to 2.5\\xa0h'
    """
    low, high = (f"{_shown(end)}\u00a0{figure.unit}" for end in (figure.low, figure.high))
    if isinf(figure.low):
        return ENERGY.say("endless" if _empties(figure) else "never")
    if isinf(figure.high):
        return ENERGY.say("endless_at_best" if _empties(figure) else "never_at_worst", low=low)
    return high if low == high else say("range", low=_shown(figure.low), high=high)


def _empties(figure: Figure) -> bool:
    """Whether it is a time until empty, which it is good to have without end, and not one until full."""
    return bool(figure.formula) and figure.unit == "d"


def _ends(figure: Figure) -> tuple[tuple[str, str], ...]:
    if not figure.formula:
        return ()
    least = _filled(figure, {term.symbol: term.low for term in figure.terms}, figure.low)
    most = _filled(figure, {term.symbol: term.high for term in figure.terms}, figure.high)
    return (("", least),) if least == most else ((ENERGY.say("least"), least), (ENERGY.say("most"), most))


def _filled(figure: Figure, values: dict[str, float], result: float) -> str:
    left = _SYMBOL.sub(lambda found: _shown(values[found[1]]), figure.formula)
    if isinf(result):
        return ENERGY.say("sum_endless" if _empties(figure) else "sum_never", left=left)
    return f"{left} = {_shown(result)}\u00a0{figure.unit}"


def _symbol(symbol: str, known: dict[str, str], name: Callable[[str], str]) -> str:
    return symbol if len(symbol) == 1 else known.get(symbol) or name(symbol)


def _shown(value: float) -> str:
    return "∞" if isinf(value) else number(value)
