"""A figure as a range with its terms, so that it can be shown and calculated by hand."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Literal

from vandoc.ground.chemistry import Range

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
"""Assumptions of a figure; the message files word each of them."""


@dataclass(frozen=True)
class Term:
    """One quantity in a formula.

    Attributes
    ----------
    symbol : str
        Symbol of the term, between braces in the formula.
    low, high : float
        Value used for the low and for the high end of the figure; `low` may be the larger.
    unit : str
    source : str
        Empty if it comes from the van file or from other terms.
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
        `high` may be infinite: autonomy when solar covers the need.
    unit : str
    formula : str
        Each term as its symbol between braces; empty if the figure was integrated over time.
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
        """Whether any of its terms is recalled, not checked against the document."""
        return any(term.from_memory for term in self.terms)

    def as_term(self, symbol: str, *, swap: bool = False) -> Term:
        """Return the figure as a term of another one; `swap` if a larger value makes the other smaller."""
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
    """Return the figure of a formula: `value` is called with all low ends, then with all high ends.

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
    """Return a published range as a term; `swap` if a larger value makes the figure smaller."""
    ends = (found.high, found.low) if swap else (found.low, found.high)
    return Term(symbol, ends[0] * scale, ends[1] * scale, unit, found.source, found.from_memory)
