"""The current drawn from a battery does not exceed its continuous discharge limit."""

from collections.abc import Iterator

from vandoc.analysis import Van, exceeds
from vandoc.judgement.checks.amount import Amount
from vandoc.judgement.checks.cures.pieces import smaller_inverter
from vandoc.judgement.checks.rule import Breach, fail, rule
from vandoc.judgement.checks.shared.batteries import leaves
from vandoc.physics.network.currents import SizingState


@rule(fail("battery-above-discharge-limit", smaller_inverter))
def discharge(van: Van) -> Iterator[Breach]:
    """The current drawn from a battery does not exceed its continuous discharge limit."""
    for ident, battery in van.leisure.items():
        words = {"battery": van.name(ident)}
        amps = Amount(max(leaves(van, ident, SizingState.SUPPLY), 0.0), "A")
        limit = battery.discharge_limit_a
        if limit is None and battery.traits.management is not False:
            trail = van.trail(ident)
            yield Breach("battery-above-discharge-limit", ident, trail, words, amps, unknown=True)
        elif limit is not None and exceeds(amps.value, limit):
            trail = (*van.trail(ident), "discharge_limit")
            yield Breach("battery-above-discharge-limit", ident, trail, words, amps, Amount(limit, "A"))
