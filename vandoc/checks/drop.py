"""Whether enough voltage arrives."""

from collections.abc import Iterator

from vandoc.calc.battery import rest_voltage
from vandoc.checks.amount import Amount
from vandoc.checks.case import Case, exceeds
from vandoc.checks.rule import Breach, Cited, rule
from vandoc.data import constant
from vandoc.model import equipment as eq
from vandoc.network.graph import Consumer
from vandoc.sizing import Drop


@rule("voltage-drop")
def drop(case: Case) -> Iterator[Breach]:
    """No more voltage is lost on the way there and back than the kind of circuit allows."""
    for owner in _expected(case):
        subject, trail = owner, case.wiring_trail(owner)
        found = case.sizing.drops.get(owner)
        if found is None:
            yield Breach("voltage-drop", subject, trail, {"name": case.name(owner)}, unknown=True)
        elif exceeds(found.percent, found.limit.percent):
            yield Breach(
                "voltage-drop",
                subject,
                trail,
                {
                    "name": case.name(owner),
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


def _expected(case: Case) -> Iterator[str]:
    """What must have a voltage drop: all that uses current, and chargers on their way to a battery."""
    for consumer in case.network.consumers:
        if consumer.kind in ("load", "inverter", "converter") and consumer.owner not in case.sizing.unfed:
            yield consumer.owner
    for source in case.network.sources:
        if source.kind == "charger" and case.sources_in(case.net(source.plus), "battery"):
            yield source.owner


@rule("below-lowest-voltage")
def lowest(case: Case) -> Iterator[Breach]:
    """What works down to some voltage only still gets it from a battery that is nearly empty."""
    for consumer in case.network.consumers:
        least = _lowest_v(case, consumer)
        found = case.sizing.drops.get(consumer.owner)
        if least is None or found is None:
            continue
        feed = _feed(case, consumer)
        if feed is None:
            continue
        volts, name, cited = feed
        arrives = volts - _lost(found)
        if exceeds(least, arrives):
            yield Breach(
                "below-lowest-voltage",
                consumer.owner,
                case.wiring_trail(consumer.owner),
                {
                    "name": case.name(consumer.owner),
                    "battery": name,
                    "percent": Amount(constant("nearly empty").value, "%"),
                    "volts": Amount(volts, "V"),
                    "lost": Amount(_lost(found), "V"),
                },
                Amount(arrives, "V"),
                Amount(least, "V"),
                cited=cited,
            )


def _lost(found: Drop) -> float:
    return found.supply_v + found.return_v


def _lowest_v(case: Case, consumer: Consumer) -> float | None:
    if consumer.kind == "load":
        return case.system.loads[consumer.owner].lowest_v
    piece = case.system.equipment[consumer.owner]
    return piece.lowest_v if isinstance(piece, eq.Inverter) else None


def _feed(case: Case, consumer: Consumer) -> tuple[float, str, tuple[Cited, ...]] | None:
    """The voltage of what feeds it when its battery is nearly empty: a converter's own, or at rest. [V]"""
    nodes = case.net(consumer.plus)
    for source in case.sources_in(nodes, "converter"):
        return source.nominal_v, case.name(source.owner), ()
    volts = []
    for source in case.sources_in(nodes, "battery"):
        piece = case.system.equipment[source.owner]
        if isinstance(piece, eq.Battery) and piece.role == "leisure":
            at_rest, row = _rest_v(piece.chemistry, constant("nearly empty").value)
            volts.append((at_rest * source.nominal_v / 12, case.name(source.owner), (row,)))
    return min(volts, default=None, key=lambda found: found[0])


def _rest_v(chemistry: str, percent: float) -> tuple[float, Cited]:
    """The voltage of a 12 V battery at rest, on the straight line between the rows around a charge. [V]"""
    table = rest_voltage(chemistry)
    upper = min((row for row in table if row.soc_percent >= percent), key=lambda row: row.soc_percent)
    lower = max((row for row in table if row.soc_percent <= percent), key=lambda row: row.soc_percent)
    if upper.soc_percent == lower.soc_percent:
        return lower.volts_v, lower
    share = (percent - lower.soc_percent) / (upper.soc_percent - lower.soc_percent)
    return lower.volts_v + share * (upper.volts_v - lower.volts_v), lower
