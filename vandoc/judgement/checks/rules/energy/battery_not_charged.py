"""Each leisure battery has a charging source."""

from collections.abc import Iterator

from vandoc.analysis import Van
from vandoc.judgement.checks.rule import Breach, review, rule
from vandoc.judgement.checks.shared.energy import battery


@rule(review("battery-not-charged"))
def charged(van: Van) -> Iterator[Breach]:
    """Each leisure battery has a charging source."""
    for budget in van.energy.banks:
        if not budget.bank.feeds:
            subject = budget.bank.batteries[0]
            yield Breach("battery-not-charged", subject, van.trail(subject), battery(van, budget))
