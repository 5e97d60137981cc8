"""Calendar life, not cycle life, limits the battery."""

from collections.abc import Iterator

from vandoc.analysis import Van, exceeds
from vandoc.ground.figures import plain, quantity
from vandoc.judgement.checks.amount import Amount
from vandoc.judgement.checks.rule import Breach, note, rule
from vandoc.judgement.checks.shared.energy import battery, cited_of

YEARS_DIGITS = 2


@rule(note("worn-out-by-use"))
def wear(van: Van) -> Iterator[Breach]:
    """Calendar life, not cycle life, limits the battery."""
    for budget in van.energy.banks:
        terms = {term.symbol: term for term in budget.years.terms}
        life, cycles, depth, capacity, drawn = (terms[name].low for name in ("L", "N", "d", "C", "Q"))
        by_use = cycles * depth * capacity / drawn if drawn else life
        if exceeds(life, by_use):
            subject = budget.bank.batteries[0]
            yield Breach(
                "worn-out-by-use",
                subject,
                van.trail(subject),
                {
                    **battery(van, budget),
                    "years": plain(quantity(by_use, "a", YEARS_DIGITS, "down")),
                    "cycles": Amount(cycles),
                    "depth": Amount(depth),
                    "capacity": Amount(capacity, "Ah"),
                    "drawn": Amount(drawn, "Ah"),
                },
                Amount(by_use, "a"),
                Amount(life, "a"),
                cited=cited_of(budget.years),
            )
