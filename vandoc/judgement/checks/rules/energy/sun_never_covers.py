"""In a sunny region, solar charging alone covers the consumption in at least one month of use."""

from collections.abc import Iterator

from vandoc.analysis import Van
from vandoc.ground.figures import month
from vandoc.judgement.checks.amount import Amount
from vandoc.judgement.checks.rule import Breach, note, rule
from vandoc.judgement.checks.shared.energy import battery, cited_of


@rule(note("sun-never-covers"))
def sun(van: Van) -> Iterator[Breach]:
    """In a sunny region, solar charging alone covers the consumption in at least one month of use."""
    for budget in van.energy.banks:
        used = [one for one in budget.months if one.used]
        if used and all(one.covered == "never" for one in used):
            best = max(used, key=lambda one: one.sun.high / one.need.low)
            yield Breach(
                "sun-never-covers",
                budget.bank.batteries[0],
                van.trail(budget.bank.batteries[0]),
                {**battery(van, budget), "month": month(best.month)},
                Amount(best.sun.high, "Ah"),
                Amount(best.need.low, "Ah"),
                cited=cited_of(best.sun),
            )
