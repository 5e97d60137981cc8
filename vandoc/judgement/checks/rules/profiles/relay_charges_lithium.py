"""No split-charge relay charges a lithium battery, because it has no charging profile."""

from collections.abc import Iterator

from vandoc.analysis import Van
from vandoc.judgement.checks.rule import Breach, review, rule
from vandoc.judgement.checks.shared.charging import split_charges
from vandoc.judgement.checks.shared.profiles import LITHIUM


@rule(review("relay-charges-lithium"))
def relay_on_lithium(van: Van) -> Iterator[Breach]:
    """No split-charge relay charges a lithium battery, because it has no charging profile."""
    for ident, _, far in split_charges(van):
        for source in van.sources_in(van.net(far), "battery"):
            battery = van.leisure.get(source.owner)
            if battery is not None and battery.chemistry == LITHIUM:
                words = {"relay": van.name(ident), "battery": van.name(source.owner)}
                yield Breach("relay-charges-lithium", ident, van.trail(ident), words)
