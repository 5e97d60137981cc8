"""Batteries that give off gas are ventilated to the outside through vents with enough free area."""

from collections.abc import Iterator
from math import fsum

from vandoc.analysis import Van, exceeds
from vandoc.ground.calc.ventilation import airflow_m3_per_h, gas_current_ma_per_ah, vent_area_cm2
from vandoc.ground.data import constant
from vandoc.judgement.checks.amount import Amount
from vandoc.judgement.checks.cures import pieces
from vandoc.judgement.checks.rule import Breach, Word, fail, review, rule
from vandoc.model import equipment as eq


@rule(
    fail("battery-not-ventilated", pieces.to_outside),
    fail("battery-vent-too-small", pieces.vent),
    review("gas-not-known"),
    review("sealed-battery-vents-inside"),
)
def ventilation(van: Van) -> Iterator[Breach]:
    """Batteries that give off gas are ventilated to the outside through vents with enough free area."""
    needed: dict[str, list[str]] = {}
    for ident, battery in van.of_kind(eq.Battery):
        if battery.traits.gassing is not False and van.system.places[battery.place].inside:
            needed.setdefault(battery.place, []).append(ident)
    for where, idents in needed.items():
        place = van.system.places[where]
        pieces = [piece for ident, piece in van.of_kind(eq.Battery) if ident in idents]
        first = idents[0]
        words: dict[str, Word] = {"battery": van.names(idents), "place": place.label}
        if any(piece.traits.vented is not False for piece in pieces) and place.vents_to != "outside":
            unknown = place.vents_to is None
            trail = ("places", where, "vents_to")
            yield Breach("battery-not-ventilated", first, trail, words, unknown=unknown)
            continue
        if place.vents_to != "outside":
            unknown, trail = place.vents_to is None, ("places", where, "vents_to")
            yield Breach("sealed-battery-vents-inside", first, trail, words, unknown=unknown)
        flows = [flow for piece in pieces if (flow := _airflow(van, piece)) is not None]
        if len(flows) < len(pieces):
            yield Breach("gas-not-known", first, ("places", where), words)
            continue
        area = Amount(vent_area_cm2(fsum(flows)), "cm²")
        factor = constant("vent area per airflow")
        words |= {"airflow": Amount(fsum(flows), "m³/h"), "factor": Amount(factor.value, factor.unit)}
        trail = ("places", where, "vent")
        if place.vent_cm2 is None:
            yield Breach("battery-vent-too-small", first, trail, words, limit=area, unknown=True)
        elif exceeds(area.value, place.vent_cm2):
            yield Breach("battery-vent-too-small", first, trail, words, Amount(place.vent_cm2, "cm²"), area)


def _airflow(van: Van, battery: eq.Battery) -> float | None:
    cells = battery.traits.cells_for(battery.nominal_v or van.system.van.nominal_v, battery.cells)
    gas = gas_current_ma_per_ah(battery.chemistry, "boost")
    if cells is None or gas is None:
        return None
    return airflow_m3_per_h(cells[1], gas, battery.capacity_ah)
