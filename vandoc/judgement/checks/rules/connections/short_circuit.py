"""No positive is connected to a negative without a load between them."""

from collections.abc import Iterator, Mapping

from vandoc.analysis import Van
from vandoc.judgement.checks.amount import Amount
from vandoc.judgement.checks.rule import Breach, fail, rule
from vandoc.judgement.checks.shared.connections import is_shorted, unlike_batteries
from vandoc.model import equipment as eq
from vandoc.model.traits import CHASSIS
from vandoc.physics.network.graph import Conductor, Consumer, Edge, Source, far_end, owner_of


@rule(
    fail("short-circuit"),
    fail("batteries-in-series"),
    fail("batteries-crossed"),
    fail("batteries-of-unlike-voltage"),
)
def short_circuit(van: Van) -> Iterator[Breach]:
    """No positive is connected to a negative without a load between them."""
    edge = _bridge(van)
    if edge is None:
        yield from _unlike(van)
        return
    links = _series_links(van)
    after: dict[str, set[str]] = {}
    for _, plus, minus in links:
        after.setdefault(owner_of(minus), set()).add(owner_of(plus))
    circles: dict[frozenset[str], list[Conductor]] = {}
    for link, plus, minus in links:
        one, other = owner_of(plus), owner_of(minus)
        if other in (circle := _reached(one, after)):
            circles.setdefault(circle, []).append(link)
            continue
        words = {"one": van.name(one), "other": van.name(other), "cable": link.id}
        yield Breach("batteries-in-series", van.subject(link), link.trail, words)
    for circle, cables in circles.items():
        words = {"cables": "', '".join(cable.id for cable in cables), "batteries": van.names(sorted(circle))}
        yield Breach("batteries-crossed", van.subject(cables[0]), cables[0].trail, words)
    if links:
        return
    subject = van.subject(edge) if isinstance(edge, Conductor) else edge.owner
    trail = van.trail(edge.owner) if not isinstance(edge, Conductor) else edge.trail
    yield Breach("short-circuit", subject, trail, {"start": edge.start, "end": edge.end})


def _unlike(van: Van) -> Iterator[Breach]:
    for battery, other in unlike_batteries(van):
        words = {"one": van.name(battery.owner), "other": van.name(other.owner)}
        volts, others = Amount(battery.nominal_v, "V"), Amount(other.nominal_v, "V")
        trail = van.trail(battery.owner)
        yield Breach("batteries-of-unlike-voltage", battery.owner, trail, words, volts, others)


def _reached(start: str, after: Mapping[str, set[str]]) -> frozenset[str]:
    """Return the batteries that follow one in a series; one in a closed series follows itself."""
    reached: set[str] = set()
    todo = [start]
    while todo:
        new = after.get(todo.pop(), set()) - reached
        reached |= new
        todo += new
    return frozenset(reached)


def _series_links(van: Van) -> list[tuple[Conductor, str, str]]:
    """Return cables from one battery's positive to another's negative if they are the only short circuit."""
    batteries = van.network.batteries()
    plus, minus = {battery.plus for battery in batteries}, {battery.minus for battery in batteries}
    found = []
    for conductor in van.network.conductors.values():
        for one, other in ((conductor.start, conductor.end), (conductor.end, conductor.start)):
            if one in plus and other in minus and owner_of(one) != owner_of(other):
                found.append((conductor, one, other))
    cut = {link.id for link, _, _ in found}
    served: list[Source | Consumer] = [*van.network.sources, *van.network.consumers]
    supply = van.network.flood({thing.plus for thing in served}, lambda edge: edge.id not in cut)
    back = van.network.flood({CHASSIS, *(thing.minus for thing in served)}, lambda edge: edge.id not in cut)
    return [] if supply & back else found


def _bridge(van: Van) -> Edge | None:
    """Return the edge of a positive-to-negative path that bridges the two sides, otherwise its last edge."""
    network = van.network
    if not is_shorted(van):
        return None
    minuses = {source.minus for source in network.sources} | {c.minus for c in network.consumers} | {CHASSIS}
    pluses = {source.plus for source in network.sources} | {c.plus for c in network.consumers}
    ways = [way for goal in sorted(minuses) if (way := network.path(pluses, goal))]
    if not ways:
        return None
    way = min(ways, key=len)
    sides = {node: _side(van, node) for edge in way for node in (edge.start, edge.end)}
    for edge in way:
        if isinstance(edge, Conductor) and sides[edge.start] * sides[edge.end] < 0:
            return edge
    return next((edge for edge in reversed(way) if isinstance(edge, Conductor)), way[-1])


def _side(van: Van, node: str) -> int:
    """Return 1 for a supply terminal, -1 for a return terminal; a busbar has the side of its neighbours."""
    piece = van.system.equipment.get(owner_of(node))
    if _side_of(piece) != "either":
        returns = node == CHASSIS or node.endswith(("-", ".sensor")) or _side_of(piece) == "return"
        return -1 if returns else 1
    others = [far_end(edge, node) for edge in van.network.at(node)]
    votes = sum(
        _side(van, other)
        for other in others
        if _side_of(van.system.equipment.get(owner_of(other))) != "either"
    )
    return (votes > 0) - (votes < 0)


def _side_of(piece: eq.Piece | None) -> str:
    return "named" if piece is None else piece.side
