"""A load with a large chassis return current has its own earth point."""

from collections.abc import Iterator

from vandoc.analysis import Van
from vandoc.ground.data import constant
from vandoc.judgement.checks.amount import Amount
from vandoc.judgement.checks.rule import Breach, fail, review, rule
from vandoc.model.traits import CHASSIS
from vandoc.physics.network.graph import Edge, Joint, Source, far_end


@rule(fail("earth-point-shared"), review("earth-point-missing"))
def earth_points(van: Van) -> Iterator[Breach]:
    """A load with a large chassis return current has its own earth point."""
    limit = constant("own earth point from")
    taken: dict[str, str] = {}
    for owner, plus, minus, amps in _users(van):
        if amps < limit.value:
            continue
        entry = _entry(van, plus, minus)
        if entry is None:
            continue
        words = {"name": van.name(owner)}
        found, least = Amount(amps, "A"), Amount(limit.value, "A")
        trail = van.trail(owner)
        if not isinstance(entry, Joint):
            yield Breach("earth-point-missing", owner, trail, words, found, least, (limit,))
        elif taken.setdefault(entry.owner, owner) != owner:
            words |= {"earth": van.name(entry.owner), "other": van.name(taken[entry.owner])}
            yield Breach("earth-point-shared", owner, trail, words, found, least, (limit,))


def _users(van: Van) -> Iterator[tuple[str, str, str, float]]:
    for consumer in van.network.consumers:
        if not any(c.vehicle for c in van.cables_at(consumer.minus)):
            yield consumer.owner, consumer.plus, consumer.minus, consumer.amps_a
    for source in van.network.sources:
        if source.kind in ("charger", "converter"):
            yield source.owner, source.plus, source.minus, source.limit_a or 0.0


def _entry(van: Van, plus: str, minus: str) -> Edge | None:
    """Return the edge over which its return current enters the chassis; None if there is no such edge."""
    batteries = van.sources_in(van.net(plus), "battery")
    way = van.network.path([minus], _nearest_minus(van, minus, batteries)) if batteries else None
    node = minus
    for edge in way or []:
        node = far_end(edge, node)
        if node == CHASSIS:
            return edge
    return None


def _nearest_minus(van: Van, minus: str, batteries: list[Source]) -> str:
    ways = {b.minus: van.network.path([minus], b.minus) for b in batteries}
    reached = {goal: len(way) for goal, way in ways.items() if way is not None}
    return min(reached, key=lambda goal: reached[goal], default=batteries[0].minus)
