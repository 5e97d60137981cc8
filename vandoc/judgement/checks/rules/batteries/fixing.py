"""A leisure battery is held in place, and nothing can touch its live terminals."""

from collections.abc import Iterator

from vandoc.analysis import Van
from vandoc.judgement.checks.cures.pieces import set_to
from vandoc.judgement.checks.rule import Breach, fail, rule


@rule(fail("battery-not-fixed"), fail("battery-terminals-bare", set_to("covered", True)))
def held(van: Van) -> Iterator[Breach]:
    """A leisure battery is held in place, and nothing can touch its live terminals."""
    for ident, battery in van.system.leisure.items():
        words, trail = {"battery": battery.name}, van.trail(ident)
        if battery.fixing is None:
            yield Breach("battery-not-fixed", ident, trail, words, unknown=True)
        elif battery.fixing == "loose":
            yield Breach("battery-not-fixed", ident, trail, words)
        if not battery.covered:
            yield Breach("battery-terminals-bare", ident, trail, words, unknown=battery.covered is None)
