"""Whether things are mounted where they may be: sparks, gas, heat, metal edges and distance."""

import heapq
from collections.abc import Iterator

from vandoc.analysis import Van, exceeds
from vandoc.calc.battery import chemistry_figures
from vandoc.calc.heat import loss_w, vent_area_for_heat_cm2
from vandoc.calc.ventilation import airflow_m3_per_h, gas_current_ma_per_ah, vent_area_cm2
from vandoc.checks.amount import Amount
from vandoc.checks.rule import Breach, Word, rule
from vandoc.data import constant
from vandoc.model import equipment as eq
from vandoc.network.expand import efficiency_of
from vandoc.network.graph import Conductor, far_end


@rule("no-grommet")
def grommet(van: Van) -> Iterator[Breach]:
    """Where a cable passes through metal, an edge protection keeps it from being cut."""
    for sized in van.sizing.conductors.values():
        conductor = sized.conductor
        if conductor.vehicle or conductor.role == "return" or conductor.metal == "grommet":
            continue
        unknown = conductor.metal is None
        places = [van.system.places[place] for place in conductor.places]
        if unknown and len({place.inside for place in places}) < 2:
            continue
        words = {"cable": conductor.id, "places": "', '".join(place.label for place in places)}
        yield Breach("no-grommet", van.subject(conductor), conductor.trail, words, unknown=unknown)


@rule("spark-in-gas-locker")
def sparks(van: Van) -> Iterator[Breach]:
    """Nothing that can spark is in a gas locker."""
    things = [*van.system.equipment.items(), *van.system.loads.items()]
    for ident, thing in things:
        place = van.system.places[thing.place]
        if place.gas_locker and thing.sparks and not thing.ignition_protected:
            words = {"name": thing.name, "place": place.label}
            yield Breach("spark-in-gas-locker", ident, van.trail(ident), words)


@rule("battery-not-ventilated", "battery-vent-too-small")
def ventilation(van: Van) -> Iterator[Breach]:
    """The gas of lead batteries leaves the van; the openings are large enough for it."""
    needed: dict[str, list[str]] = {}
    for ident, battery in van.of_kind(eq.Battery):
        if battery.chemistry != "LiFePO4" and van.system.places[battery.place].inside:
            needed.setdefault(battery.place, []).append(ident)
    for where, idents in needed.items():
        place = van.system.places[where]
        pieces = [piece for ident, piece in van.of_kind(eq.Battery) if ident in idents]
        first = idents[0]
        words: dict[str, Word] = {"battery": van.names(idents), "place": place.label}
        if any(piece.chemistry == "flooded" for piece in pieces) and place.vents_to != "outside":
            unknown = place.vents_to is None
            trail = ("places", where, "vents_to")
            yield Breach("battery-not-ventilated", first, trail, words, unknown=unknown)
            continue
        flows = [_airflow(van, piece) for piece in pieces]
        area = Amount(vent_area_cm2(sum(flows)), "cm²")
        factor = constant("vent area per airflow")
        words |= {"airflow": Amount(sum(flows), "m³/h"), "factor": Amount(factor.value, factor.unit)}
        trail = ("places", where, "vent")
        if place.vent_cm2 is None:
            yield Breach("battery-vent-too-small", first, trail, words, limit=area, unknown=True)
        elif exceeds(area.value, place.vent_cm2):
            yield Breach("battery-vent-too-small", first, trail, words, Amount(place.vent_cm2, "cm²"), area)


def _airflow(van: Van, battery: eq.Battery) -> float:
    nominal = battery.nominal_v or van.system.van.nominal_v
    cells = max(1, round(chemistry_figures(battery.chemistry).cells * nominal / 12))
    gas = gas_current_ma_per_ah(battery.chemistry, "boost")
    return airflow_m3_per_h(cells, gas, battery.capacity_ah)


@rule("heat-without-vent")
def heat(van: Van) -> Iterator[Breach]:
    """The heat of chargers, converters and inverters finds its way out of their place."""
    rise, height = constant("temperature rise of a place"), constant("height between vents")
    watts: dict[str, dict[str, float]] = {}
    for ident, piece in van.system.equipment.items():
        if isinstance(piece, eq.Charger | eq.Converter | eq.Inverter):
            watts.setdefault(piece.place, {})[ident] = _loss(van, piece)
    for where, losses in watts.items():
        place = van.system.places[where]
        if not place.inside and not place.engine_space:
            continue
        total = sum(losses.values())
        area = vent_area_for_heat_cm2(total, rise.value, height.value, place.hottest_c)
        words: dict[str, Word] = {
            "name": van.names(losses),
            "place": place.label,
            "loss": Amount(total, "W"),
            "rise": Amount(rise.value, "K"),
            "height": Amount(height.value, "m"),
        }
        stated = place.vent_cm2
        if stated is None or exceeds(2 * area, stated):
            yield Breach(
                "heat-without-vent",
                where,
                ("places", where, "vent"),
                words,
                None if stated is None else Amount(stated, "cm²"),
                Amount(2 * area, "cm²"),
                unknown=stated is None,
            )


def _loss(van: Van, piece: eq.Charger | eq.Converter | eq.Inverter) -> float:
    if isinstance(piece, eq.Inverter):
        return loss_w(piece.power_w, efficiency_of(piece))
    output_v = piece.output_v or van.system.van.nominal_v
    return loss_w(output_v * piece.output_a, efficiency_of(piece))


@rule("charger-far-from-battery")
def near(van: Van) -> Iterator[Breach]:
    """A charger is near the battery that it charges."""
    longest = constant("longest charger cable")
    for ident, _ in van.of_kind(eq.Charger):
        node = f"{ident}.out"
        batteries = [s for s in van.sources_in(van.net(node), "battery") if s.owner in van.leisure]
        ways = {s.owner: _cable_length(van, node, s.plus) for s in batteries}
        if not ways:
            continue
        battery = min(ways, key=lambda owner: ways[owner])
        if exceeds(ways[battery], longest.value):
            words = {"charger": van.name(ident), "battery": van.name(battery)}
            found, limit = Amount(ways[battery], "m"), Amount(longest.value, "m")
            trail = van.trail(ident)
            yield Breach("charger-far-from-battery", ident, trail, words, found, limit, (longest,))


def _cable_length(van: Van, start: str, goal: str) -> float:
    """Metres of cable on the shortest way between two terminals."""
    best: dict[str, float] = {}
    heap = [(0.0, start)]
    while heap:
        metres, node = heapq.heappop(heap)
        if node in best:
            continue
        best[node] = metres
        for edge in van.network.at(node):
            cost = edge.length_m if isinstance(edge, Conductor) else 0.0
            heapq.heappush(heap, (metres + cost, far_end(edge, node)))
    return best[goal]


@rule("access-not-stated")
def access(van: Van) -> Iterator[Breach]:
    """The owner is told how to get at every fuse and isolator."""
    reported = set()
    for piece in van.system.equipment.values():
        place = van.system.places[piece.place]
        if (
            isinstance(piece, eq.Fuse | eq.FuseBoard | eq.Isolator)
            and not place.access
            and piece.place not in reported
        ):
            reported.add(piece.place)
            words = {"name": piece.name, "place": place.label}
            yield Breach("access-not-stated", piece.place, ("places", piece.place), words)
