"""In each season, the best-case charge of a typical day covers its minimum consumption."""

from collections.abc import Iterator
from math import fsum

from vandoc.analysis import Van, exceeds
from vandoc.judgement.checks.amount import Amount
from vandoc.judgement.checks.rule import Breach, Phrase, review, rule
from vandoc.judgement.checks.shared.energy import battery, cited_of, seasons


@rule(review("charge-below-need"))
def balance(van: Van) -> Iterator[Breach]:
    """In each season, the best-case charge of a typical day covers its minimum consumption."""
    if van.energy.missing:
        return
    for budget in van.energy.banks:
        if not budget.charging or len(budget.charging) < len(budget.bank.feeds):
            continue
        steady = [way.per_day for way in budget.charging if way.per_day]
        for season in seasons(budget):
            suns = [season.sun] if season.sun else []
            found = fsum(figure.high for figure in (*steady, *suns))
            if exceeds(season.need.low, found):
                yield Breach(
                    "charge-below-need",
                    budget.bank.batteries[0],
                    van.trail(budget.bank.batteries[0]),
                    {
                        **battery(van, budget),
                        "season": Phrase(season.season),
                        "steady": Amount(fsum(figure.high for figure in steady), "Ah"),
                        "sun": Amount(fsum(figure.high for figure in suns), "Ah"),
                    },
                    Amount(found, "Ah"),
                    Amount(season.need.low, "Ah"),
                    cited=cited_of(*steady, *suns),
                )
