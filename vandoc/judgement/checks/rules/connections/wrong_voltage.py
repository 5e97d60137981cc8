"""Each item of equipment and load is connected to a net of its own nominal voltage."""

from collections.abc import Iterator

from vandoc.analysis import Van
from vandoc.ground.data import constant
from vandoc.judgement.checks.amount import Amount
from vandoc.judgement.checks.rule import Breach, fail, rule
from vandoc.model import equipment as eq


@rule(fail("wrong-voltage"))
def wrong_voltage(van: Van) -> Iterator[Breach]:
    """Each item of equipment and load is connected to a net of its own nominal voltage."""
    tolerance = constant("same nominal voltage").value
    for kind, owner, plus, own_v in _with_voltage(van):
        feeds = van.sources_in(van.network.joined(plus), "battery", "converter")
        feed = next((source for source in feeds if source.owner != owner), None)
        if feed is None or (kind == "battery" and feeds[0].owner == owner):
            continue  # of two batteries that differ, the later one is named
        if max(own_v, feed.nominal_v) > tolerance * min(own_v, feed.nominal_v):
            yield Breach(
                "wrong-voltage",
                owner,
                van.trail(owner),
                {"name": van.name(owner), "feed": van.name(feed.owner)},
                Amount(own_v, "V"),
                Amount(feed.nominal_v, "V"),
            )


def _with_voltage(van: Van) -> Iterator[tuple[str, str, str, float]]:
    solar_inputs = {f"{ident}.pv+" for ident, _ in van.of_kind(eq.Charger)}
    for consumer in van.network.consumers:
        if consumer.kind != "monitor" and consumer.plus not in solar_inputs:
            yield "consumer", consumer.owner, consumer.plus, consumer.nominal_v
    for source in van.network.sources:
        if source.kind != "solar":
            yield source.kind, source.owner, source.plus, source.nominal_v
