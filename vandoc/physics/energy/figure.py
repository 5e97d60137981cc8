"""A figure as a range, with what it was made of, so that it can be shown and done again by hand."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Literal

from vandoc.ground.calc.battery import Range

Assumption = Literal[
    "age-from-dates",
    "age-unknown",
    "charge-begins-at-the-depth-limit",
    "cold-from-place",
    "cold-beyond-table",
    "controller-holds-best-voltage",
    "cycles-as-throughput",
    "relay-current-from-wiring",
    "facing-unknown",
    "full-at-start",
    "hours-as-stated",
    "loads-run-while-charging",
    "months-not-stated",
    "one-step-at-a-time",
    "published-sites",
    "roof-lies-flat",
    "shade-as-stated",
    "shade-not-stated",
    "while-not-full",
    "winter-inside",
]
"""What a figure takes for granted; the message files say each in words."""


@dataclass(frozen=True)
class Term:
    """One quantity in a sum.

    Attributes
    ----------
    symbol : str
        As it stands in the formula, between braces.
    low, high : float
        What goes into the low and the high end of the figure; `low` may be the larger.
    unit : str
    source : str
        Empty where it comes from the van file or from other terms.
    from_memory : bool
    """

    symbol: str
    low: float
    high: float
    unit: str
    source: str = ""
    from_memory: bool = False


@dataclass(frozen=True)
class Figure:
    """A range with its working.

    Attributes
    ----------
    low, high : float
        `high` may be infinite: days until empty where the sun covers the need.
    unit : str
    formula : str
        With a term's symbol between braces for each term; empty where it was found step by step in time.
    terms : tuple of Term
    assumptions : tuple of str
    """

    low: float
    high: float
    unit: str
    formula: str
    terms: tuple[Term, ...]
    assumptions: tuple[Assumption, ...] = ()

    @property
    def from_memory(self) -> bool:
        """Whether any of its terms rests on memory."""
        return any(term.from_memory for term in self.terms)

    def as_term(self, symbol: str, *, swap: bool = False) -> Term:
        """Return it as a term of another figure; `swap` where more of it makes that one smaller."""
        ends = (self.high, self.low) if swap else (self.low, self.high)
        sources = "; ".join(dict.fromkeys(term.source for term in self.terms if term.source))
        return Term(symbol, *ends, self.unit, sources, self.from_memory)


def figure(
    unit: str,
    formula: str,
    terms: tuple[Term, ...],
    value: Callable[[Mapping[str, float]], float],
    assumptions: tuple[Assumption, ...] = (),
) -> Figure:
    """Return the figure of a formula: `value` is asked with all low ends, then with all high ones.

    Examples
    --------
    >>> terms = (Term("I", 4.0, 5.0, "A"), Term("t", 2.0, 2.0, "h"))
    >>> found = figure("Ah", "{I} · {t}", terms, lambda v: v["I"] * v["t"])
    >>> found.low, found.high
    (8.0, 10.0)
    """
    low = value({term.symbol: term.low for term in terms})
    high = value({term.symbol: term.high for term in terms})
    return Figure(low, high, unit, formula, terms, assumptions)


def of_range(symbol: str, found: Range, unit: str, scale: float = 1.0, *, swap: bool = False) -> Term:
    """Return a published range as a term; `swap` where more of it makes the figure smaller."""
    ends = (found.high, found.low) if swap else (found.low, found.high)
    return Term(symbol, ends[0] * scale, ends[1] * scale, unit, found.source, found.from_memory)
