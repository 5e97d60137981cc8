"""Locations of chargers, converters and inverters have vents for their heat."""

from collections.abc import Iterator, Mapping
from math import fsum

from vandoc.analysis import Van, exceeds
from vandoc.ground.calc.heat import loss_w, vent_area_for_heat_cm2
from vandoc.ground.data import constant
from vandoc.judgement.checks.amount import Amount
from vandoc.judgement.checks.rule import Breach, Word, review, rule
from vandoc.physics.network.expand import efficiency_of


@rule(review("heat-without-vent"))
def heat(van: Van) -> Iterator[Breach]:
    """Locations of chargers, converters and inverters have vents for their heat."""
    rise, height = constant("temperature rise of a place"), constant("height between vents")
    watts: dict[str, dict[str, float]] = {}
    for ident, piece in van.system.equipment.items():
        output_w = piece.converts_w(van.system.van.nominal_v)
        if output_w is not None:
            watts.setdefault(piece.place, {})[ident] = loss_w(output_w, efficiency_of(piece))
    for where, every in watts.items():
        place = van.system.places[where]
        if not place.inside and not place.engine_space:
            continue
        losses = max(_together(van, every), key=lambda some: fsum(some.values()))
        total = fsum(losses.values())
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


def _together(van: Van, losses: Mapping[str, float]) -> Iterator[dict[str, float]]:
    """Yield the losses that occur at once: while driving, and on hook-up, which also supplies the sockets."""
    nominal_v = van.system.van.nominal_v
    pieces = {name: van.system.equipment[name] for name in losses}
    supplies = {name: piece.supplies(nominal_v) for name, piece in pieces.items()}
    draws = {name: piece.draws(nominal_v) for name, piece in pieces.items()}
    mains = {name for name, one in supplies.items() if one is not None and one.charges_from == "mains"}
    driven = {name for name, one in supplies.items() if one is not None and one.charges_from == "alternator"}
    inverters = {name for name, one in draws.items() if one is not None and one.kind == "inverter"}
    for off in (mains, driven | inverters):
        yield {name: watts for name, watts in losses.items() if name not in off}
