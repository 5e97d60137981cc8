"""No split-charge relay, which has no profile, charges a battery with management electronics."""

from collections.abc import Iterator

from vandoc.analysis import Van
from vandoc.judgement.checks.rule import Breach, review, rule
from vandoc.judgement.checks.shared.charging import split_charges


@rule(review("relay-charges-lithium"))
def relay_on_lithium(van: Van) -> Iterator[Breach]:
    """No split-charge relay, which has no profile, charges a battery with management electronics."""
    for ident, _, far in split_charges(van):
        for source in van.sources_in(van.net(far), "battery"):
            battery = van.leisure.get(source.owner)
            if battery is not None and battery.traits.management is not False:
                names = {"relay": van.name(ident), "battery": van.name(source.owner)}
                words = {**names, "family": battery.traits.names.family}
                unknown = battery.traits.management is None
                yield Breach("relay-charges-lithium", ident, van.trail(ident), words, unknown=unknown)
