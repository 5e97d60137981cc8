"""Lead-acid batteries are ventilated to the outside through vents with enough free area."""

from collections.abc import Iterator

from vandoc.analysis import Van, exceeds
from vandoc.ground.calc.battery import chemistry_figures
from vandoc.ground.calc.ventilation import airflow_m3_per_h, gas_current_ma_per_ah, vent_area_cm2
from vandoc.ground.data import constant
from vandoc.judgement.checks.amount import Amount
from vandoc.judgement.checks.cures import pieces
from vandoc.judgement.checks.rule import Breach, Word, fail, rule
from vandoc.model import equipment as eq


@rule(fail("battery-not-ventilated", pieces.to_outside), fail("battery-vent-too-small", pieces.vent))
def ventilation(van: Van) -> Iterator[Breach]:
    """Lead-acid batteries are ventilated to the outside through vents with enough free area."""
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
