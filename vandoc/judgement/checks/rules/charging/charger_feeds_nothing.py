"""The output of each charger is connected to a battery."""

from collections.abc import Iterator

from vandoc.analysis import Van
from vandoc.judgement.checks.rule import Breach, fail, rule


@rule(fail("charger-feeds-nothing"))
def feeds_nothing(van: Van) -> Iterator[Breach]:
    """The output of each charger is connected to a battery."""
    for source in van.network.sources:
        if source.kind == "charger" and not van.sources_in(van.net(source.plus), "battery"):
            words = {"charger": van.name(source.owner)}
            yield Breach("charger-feeds-nothing", source.owner, van.trail(source.owner), words)
