"""The network has an operating point in every state: sources and wiring can supply the loads."""

from collections.abc import Collection, Iterator, Mapping
from math import fsum

from vandoc.analysis import Van
from vandoc.judgement.checks.amount import Amount
from vandoc.judgement.checks.rule import Breach, Word, fail, rule
from vandoc.judgement.checks.shared.operating import overloads, said

INLET = " inlet"  # how a charger's or converter's draw is named


@rule(fail("no-operating-point"))
def operating_point(van: Van) -> Iterator[Breach]:
    """The network has an operating point in every state: sources and wiring can supply the loads."""
    if overloads(van):
        return  # said of the converter
    named: set[str] = set()
    for state, failed in van.no_operating_point.items():
        loads = [name.removesuffix(INLET) for name in failed.loads]
        if named & set(loads) or not failed.settles:
            continue
        named |= set(loads)
        yield Breach(
            "no-operating-point",
            loads[0],
            van.wiring_trail(loads[0]),
            {"name": van.names(loads), "state": said(state), "share": Amount(100 * failed.share, "%")},
            steps=tuple(_most_power(van, frozenset(loads))),
        )


def _most_power(van: Van, loads: Collection[str]) -> Iterator[Mapping[str, Word]]:
    """Return the maximum power that a battery could supply to each of them alone: U² / 4R."""
    ohm_of = {battery.owner: van.battery_ohm(battery.owner) for battery in van.network.batteries()}
    for consumer in van.network.consumers:
        drop = van.sizing.drops.get(consumer.owner)
        nodes = van.net(consumer.plus)
        feeds = [battery for battery in van.sources_in(nodes, "battery") if battery.owner in van.leisure]
        if consumer.owner not in loads or drop is None or not feeds:
            continue
        ohms = fsum(ohm for _, _, ohm in drop.steps) + min(ohm_of[battery.owner] for battery in feeds)
        yield {
            "load": van.name(consumer.owner),
            "volts": Amount(consumer.nominal_v, "V"),
            "ohms": Amount(1000 * ohms, "mΩ"),
            "most": Amount(consumer.nominal_v**2 / (4 * ohms), "W"),
            "asked": Amount(consumer.amps_a * consumer.nominal_v, "W"),
        }
