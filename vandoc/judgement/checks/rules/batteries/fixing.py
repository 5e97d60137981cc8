"""A leisure battery is held in place, and nothing can touch its live terminals."""

from collections.abc import Iterator

from vandoc.analysis import Van, exceeds
from vandoc.ground.data import constant
from vandoc.judgement.checks.amount import Amount
from vandoc.judgement.checks.cures.pieces import set_to
from vandoc.judgement.checks.rule import Breach, fail, rule
from vandoc.model import equipment as eq
from vandoc.model.references import Path as Trail


@rule(
    fail("battery-not-fixed"),
    fail("battery-fixing-weak"),
    fail("battery-terminals-bare", set_to("covered", True)),
)
def held(van: Van) -> Iterator[Breach]:
    """A leisure battery is held in place, and nothing can touch its live terminals."""
    for ident, battery in van.system.leisure.items():
        words, trail = {"battery": battery.name}, van.trail(ident)
        if battery.fixing is None:
            yield Breach("battery-not-fixed", ident, trail, words, unknown=True)
        elif battery.fixing == "loose":
            yield Breach("battery-not-fixed", ident, trail, words)
        else:
            yield from _pulled(ident, battery, trail)
        if not battery.covered:
            yield Breach("battery-terminals-bare", ident, trail, words, unknown=battery.covered is None)


def _pulled(ident: str, battery: eq.Battery, trail: Trail) -> Iterator[Breach]:
    """Yield a fixing that was pulled with too little; the lesser of the two pulls is enough."""
    most, words = constant("pull on a battery"), {"battery": battery.name}
    least = most.value
    if battery.weight_kg is not None:
        weight_n = battery.weight_kg * constant("gravity").value
        least = min(least, constant("pull on a battery by weight").value * weight_n)
    tested, limit = battery.pull_tested_n, Amount(least, "N")
    if tested is None:
        yield Breach("battery-fixing-weak", ident, trail, words, None, limit, (most,), unknown=True)
    elif exceeds(least, tested):
        yield Breach("battery-fixing-weak", ident, trail, words, Amount(tested, "N"), limit, (most,))
