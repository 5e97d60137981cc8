"""Functions shared by the rules on energy."""

from vandoc.analysis import Van
from vandoc.judgement.checks.rule import CitedFigure, Word
from vandoc.physics.energy import BankBudget, Figure, SeasonBudget, Term


def battery(van: Van, budget: BankBudget) -> dict[str, Word]:
    return {"battery": van.names(budget.bank.batteries)}


def seasons(budget: BankBudget) -> list[SeasonBudget]:
    """Return the seasons in which the van is used."""
    return [season for season in budget.seasons.values() if season.months]


def cited_of(*figures: Figure) -> tuple[CitedFigure, ...]:
    """Return the sources of the figures' inputs, each once."""
    terms: dict[str, Term] = {}
    for figure in figures:
        for term in figure.terms:
            if term.source:
                terms.setdefault(term.source, term)
    return tuple(terms.values())
