"""A charger for a lead-acid battery has a battery temperature sensor."""

from collections.abc import Iterator

from vandoc.analysis import Van
from vandoc.ground.calc.battery import chemistry_figures
from vandoc.judgement.checks.rule import Breach, review, rule
from vandoc.judgement.checks.shared.profiles import LITHIUM, pairs_of


@rule(review("no-temperature-sensor"))
def temperature_sensor(van: Van) -> Iterator[Breach]:
    """A charger for a lead-acid battery has a battery temperature sensor."""
    for ident, charger, battery_id, battery in pairs_of(van):
        profile = charger.profile
        if battery.chemistry == LITHIUM or profile is None or profile.temperature_sensor:
            continue
        words = {"charger": van.name(ident), "battery": van.name(battery_id)}
        trail = (*van.trail(ident), "profile")
        cited = (chemistry_figures(battery.chemistry).compensation_mv_per_cell_k,)
        unknown = profile.temperature_sensor is None
        yield Breach("no-temperature-sensor", ident, trail, words, cited=cited, unknown=unknown)
