"""The voltage drop in supply and return does not exceed the limit for the type of circuit."""

from collections.abc import Iterator

from vandoc.analysis import Van, exceeds
from vandoc.judgement.checks.amount import Amount
from vandoc.judgement.checks.cures import drops
from vandoc.judgement.checks.rule import Breach, fail, rule
from vandoc.physics.sizing import Drop


@rule(fail("voltage-drop", drops.less_lost))
def drop(van: Van) -> Iterator[Breach]:
    """The voltage drop in supply and return does not exceed the limit for the type of circuit."""
    for owner in _expected(van):
        subject, trail = owner, van.wiring_trail(owner)
        found = van.sizing.drops.get(owner)
        if found is None:
            yield Breach("voltage-drop", subject, trail, {"name": van.name(owner)}, unknown=True)
        elif exceeds(found.percent, found.limit.percent):
            yield Breach(
                "voltage-drop",
                subject,
                trail,
                {
                    "name": van.name(owner),
                    "lost": Amount(_lost(found), "V"),
                    "there": Amount(found.supply_v, "V"),
                    "back": Amount(found.return_v, "V"),
                    "nominal": Amount(found.nominal_v, "V"),
                },
                Amount(found.percent, "%"),
                Amount(found.limit.percent, "%"),
                cited=(found.limit,),
                steps=tuple(
                    {
                        "part": edge,
                        "amps": Amount(amps, "A"),
                        "ohms": Amount(1000 * ohms, "mΩ"),
                        "volts": Amount(amps * ohms, "V"),
                    }
                    for edge, amps, ohms in found.steps
                ),
            )


def _expected(van: Van) -> Iterator[str]:
    """Return what must have a voltage drop: all loads, and chargers on the path to their battery."""
    unfed = set(van.sizing.unfed)
    for consumer in van.network.consumers:
        if consumer.kind in ("load", "inverter", "converter") and consumer.owner not in unfed:
            yield consumer.owner
    for source in van.network.sources:
        if source.kind == "charger" and van.sources_in(van.net(source.plus), "battery"):
            yield source.owner


def _lost(found: Drop) -> float:
    return found.supply_v + found.return_v
