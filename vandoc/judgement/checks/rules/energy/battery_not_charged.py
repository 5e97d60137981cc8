"""Something charges each leisure battery."""

from collections.abc import Iterator

from vandoc.analysis import Van
from vandoc.judgement.checks.rule import Breach, review, rule
from vandoc.judgement.checks.shared.energy import battery


@rule(review("battery-not-charged"))
def charged(van: Van) -> Iterator[Breach]:
    """Something charges each leisure battery."""
    for budget in van.energy.banks:
        if not budget.bank.feeds:
            subject = budget.bank.batteries[0]
            yield Breach("battery-not-charged", subject, van.trail(subject), battery(van, budget))
