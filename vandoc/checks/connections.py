"""Whether the wiring hangs together: nothing shorted, everything fed, every voltage in its own net."""

from collections.abc import Iterator

from vandoc.analysis import Van
from vandoc.checks.amount import Amount
from vandoc.checks.rule import Breach, rule
from vandoc.data import constant
from vandoc.model import equipment as eq
from vandoc.model.references import CHASSIS
from vandoc.network.graph import Conductor, Consumer, Edge, Source, far_end, owner_of

MINUS_KINDS = (eq.EarthPoint, eq.Shunt)
NEEDED = (
    eq.Battery,
    eq.Charger,
    eq.Converter,
    eq.SolarArray,
    eq.Relay,
    eq.Inverter,
    eq.Isolator,
    eq.Busbar,
    eq.Fuse,
    eq.EarthPoint,
    eq.Shunt,
    eq.Monitor,
)


@rule("short-circuit", "batteries-in-series")
def short_circuit(van: Van) -> Iterator[Breach]:
    """A plus and a minus are joined with nothing between them."""
    edge = _bridge(van)
    if edge is None:
        return
    links = _series_links(van)
    for link, plus, minus in links:
        words = {"one": van.name(owner_of(plus)), "other": van.name(owner_of(minus)), "cable": link.id}
        yield Breach("batteries-in-series", van.subject(link), link.trail, words)
    if links:
        return
    subject = van.subject(edge) if isinstance(edge, Conductor) else edge.owner
    trail = van.trail(edge.owner) if not isinstance(edge, Conductor) else edge.trail
    yield Breach("short-circuit", subject, trail, {"start": edge.start, "end": edge.end})


def is_shorted(van: Van) -> bool:
    """Whether a plus and a minus are joined; the rest of the wiring cannot be judged then."""
    return bool(van.network.positive & van.network.negative)


def _series_links(van: Van) -> list[tuple[Conductor, str, str]]:
    """The cables from the plus of one battery to the minus of another, where without them all is well."""
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
    """The edge on a way from a plus to a minus that joins the two sides; else the last one of it."""
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
    """1 for a terminal of the supply, -1 for one of the return; a bar takes the side of its neighbours."""
    piece = van.system.equipment.get(owner_of(node))
    if not isinstance(piece, eq.Busbar):
        returns = node == CHASSIS or node.endswith(("-", ".sensor")) or isinstance(piece, MINUS_KINDS)
        return -1 if returns else 1
    others = [far_end(edge, node) for edge in van.network.at(node)]
    votes = sum(
        _side(van, other)
        for other in others
        if not isinstance(van.system.equipment.get(owner_of(other)), eq.Busbar)
    )
    return (votes > 0) - (votes < 0)


@rule("not-fed")
def not_fed(van: Van) -> Iterator[Breach]:
    """Something that uses current is joined to no source, or has no way back."""
    for owner in dict.fromkeys(van.sizing.unfed):
        yield Breach("not-fed", owner, van.wiring_trail(owner), {"name": van.name(owner)})


@rule("cable-without-length")
def without_length(van: Van) -> Iterator[Breach]:
    """A cable is so short that it counts as none."""
    least = constant("shortest cable")
    found: dict[str, Conductor] = {}  # the two of a circuit are one to the file
    for conductor in van.network.conductors.values():
        if not conductor.signal and conductor.length_m < least.value:
            found.setdefault(van.subject(conductor), conductor)
    for subject, conductor in found.items():
        yield Breach(
            "cable-without-length",
            subject,
            conductor.trail,
            {"cable": subject},
            Amount(1000 * conductor.length_m, "mm"),
            Amount(1000 * least.value, "mm"),
            cited=(least,),
        )


@rule("wrong-voltage")
def wrong_voltage(van: Van) -> Iterator[Breach]:
    """A piece or load is joined to a net of another voltage than its own."""
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


@rule("not-connected")
def not_connected(van: Van) -> Iterator[Breach]:
    """A terminal that a piece cannot do without has no cable."""
    for ident, piece in van.system.equipment.items():
        if not isinstance(piece, NEEDED):
            continue
        optional = {"ignition", "-"} if isinstance(piece, eq.Battery) and piece.sensor else {"ignition"}
        for terminal in eq.full_terminals(ident, piece):
            if terminal.partition(".")[2] in optional:
                continue
            if not van.cables_at(terminal) and not _joined_by_circuit(van, terminal):
                words = {"name": van.name(ident), "terminal": terminal}
                yield Breach("not-connected", ident, van.trail(ident), words)
                break


def _joined_by_circuit(van: Van, terminal: str) -> bool:
    return any(edge for edge in van.network.at(terminal) if getattr(edge, "kind", "") == "common")
