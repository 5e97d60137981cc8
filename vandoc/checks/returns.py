"""Whether the way back is as good as the way there."""

from collections.abc import Iterator
from math import isinf

from vandoc.analysis import Van, exceeds
from vandoc.checks.amount import Amount
from vandoc.checks.capacity import capacity_steps, is_too_hot
from vandoc.checks.rule import Breach, rule
from vandoc.data import constant
from vandoc.model import equipment as eq
from vandoc.model.references import CHASSIS
from vandoc.network.graph import Conductor, Edge, Joint, Source, far_end, owner_of


@rule("return-below-supply")
def size(van: Van) -> Iterator[Breach]:
    """The way back has the cross-section of the supply, or more."""
    areas = {ident: sized.area_mm2 for ident, sized in van.sizing.conductors.items()}
    for owner, back, supplies in _pairs(van):
        supply = max(supplies, key=lambda conductor: areas[conductor.id])
        if exceeds(areas[supply.id], areas[back.id]):
            yield Breach(
                "return-below-supply",
                owner,
                back.trail,
                {"cable": back.id, "supply": supply.id, "name": van.name(owner)},
                Amount(areas[back.id], "mm²"),
                Amount(areas[supply.id], "mm²"),
            )


def _pairs(van: Van) -> Iterator[tuple[str, Conductor, list[Conductor]]]:
    """Each way back that is ours, with the supplies of what it comes from."""
    cables: dict[tuple[str | int, ...], list[Conductor]] = {}
    for cable in van.network.conductors.values():
        cables.setdefault(cable.trail[:2], []).append(cable)
    for number, circuit in enumerate(van.system.circuits):
        own = [c for c in cables.get(("circuits", number), []) if c.circuit == circuit.id]
        backs = [c for c in own if c.role == "return"]
        yield from ((circuit.id, back, [c for c in own if c.role == "supply"]) for back in backs)
    for owner in [*van.system.equipment, *van.system.loads]:
        own = [c for c in van.cables_of(owner) if c.role == "cable" and not c.signal]
        backs = [c for c in own if c.start in van.network.negative]
        supplies = [c for c in own if c not in backs]
        if supplies and backs and not any(c.vehicle for c in own):
            largest = max(backs, key=lambda c: van.sizing.conductors[c.id].area_mm2)
            yield owner, largest, supplies


@rule("fuse-above-return")
def protected(van: Van) -> Iterator[Breach]:
    """A way back carries what the fuses of all that it serves let through."""
    paired = {back.id for _, back, _ in _pairs(van)}  # as thick as a supply that is judged itself
    for sized in van.sizing.conductors.values():
        conductor = sized.conductor
        if conductor.id in paired or conductor.vehicle or not sized.capacities:
            continue
        if is_too_hot(sized) or sized.decided == "none fits":
            continue
        if isinf(sized.returned_a) or exceeds(sized.design_a, sized.capacity_a):
            continue  # said of the supply, and of its own capacity
        if exceeds(sized.returned_a, sized.capacity_a):
            yield Breach(
                "fuse-above-return",
                van.subject(conductor),
                conductor.trail,
                {"cable": conductor.id, "size": sized.size},
                Amount(sized.returned_a, "A"),
                Amount(sized.capacity_a, "A"),
                cited=(sized.capacities[0],),
                steps=capacity_steps(sized),
            )


@rule("earth-point-not-clean")
def clean(van: Van) -> Iterator[Breach]:
    """An earth point is bare metal with a bolt of its own."""
    for ident, piece in van.of_kind(eq.EarthPoint):
        if not piece.clean:
            words = {"name": van.name(ident)}
            unknown = piece.clean is None
            yield Breach("earth-point-not-clean", ident, van.trail(ident), words, unknown=unknown)


@rule("earth-point-shared", "earth-point-missing")
def earth_points(van: Van) -> Iterator[Breach]:
    """What returns much current through the chassis has an earth point of its own."""
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
    """The edge over which its current enters the chassis on the way back; None where it does not."""
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


@rule("sensor-bypassed")
def sensor(van: Van) -> Iterator[Breach]:
    """Nothing but its sensor is joined to a negative post that has one."""
    for ident, battery in van.of_kind(eq.Battery):
        if not battery.sensor:
            continue
        post = f"{ident}.-"
        for cable in van.cables_at(post):
            if far_end(cable, post).endswith(".+"):
                continue  # a link to the next battery in series
            words = {"cable": cable.id, "battery": van.name(ident), "post": post}
            yield Breach("sensor-bypassed", ident, cable.trail, words)


@rule("shunt-bypassed")
def shunt(van: Van) -> Iterator[Breach]:
    """All current of a battery runs through its shunt."""
    for ident, _ in van.of_kind(eq.Shunt):
        first, last = f"{ident}.battery", f"{ident}.system"
        beyond = van.network.flood([last], lambda edge: not _at_post(van, edge))
        before = van.network.flood([first], lambda edge: not {edge.start, edge.end} & beyond)  # noqa: B023
        for cable in van.network.conductors.values():
            ends = {cable.start, cable.end}
            past = ends & before and ends & beyond
            if past or any(end in before and not _may_lie_before(van, end) for end in ends):
                words = {"cable": cable.id, "shunt": van.name(ident)}
                yield Breach("shunt-bypassed", ident, cable.trail, words)


def _at_post(van: Van, edge: Edge) -> bool:
    """Whether an edge is at a battery's minus, its sensor, or the battery's side of a shunt."""
    ends = (edge.start, edge.end)
    return any(
        isinstance(van.system.equipment.get(owner_of(end)), eq.Battery) or end.endswith(".battery")
        for end in ends
    )


def _may_lie_before(van: Van, node: str) -> bool:
    piece = van.system.equipment.get(owner_of(node))
    return isinstance(piece, eq.Battery | eq.Busbar) or node.endswith(".battery")
