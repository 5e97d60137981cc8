"""At least one charging method charges the battery fully in the worst case."""

from collections.abc import Iterator
from math import isinf

from vandoc.analysis import Van
from vandoc.judgement.checks.rule import Breach, Word, review, rule
from vandoc.judgement.checks.shared.energy import battery, cited_of


@rule(review("never-full"))
def full(van: Van) -> Iterator[Breach]:
    """At least one charging method charges the battery fully in the worst case."""
    for budget in van.energy.banks:
        if not budget.charging or len(budget.charging) < len(budget.bank.feeds):
            continue
        if all(isinf(way.to_full.high) for way in budget.charging):
            owners = [way.feed.owner for way in budget.charging]
            words: dict[str, Word] = {**battery(van, budget), "chargers": van.names(owners)}
            cited = cited_of(*(way.to_full for way in budget.charging))
            subject = budget.bank.batteries[0]
            yield Breach("never-full", subject, van.trail(subject), words, cited=cited)
