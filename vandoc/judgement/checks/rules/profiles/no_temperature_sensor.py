"""A charger whose voltage must follow the battery temperature has a sensor for it."""

from collections.abc import Iterator

from vandoc.analysis import Van
from vandoc.judgement.checks.rule import Breach, review, rule
from vandoc.judgement.checks.shared.profiles import groups_of


@rule(review("no-temperature-sensor"))
def temperature_sensor(van: Van) -> Iterator[Breach]:
    """A charger whose voltage must follow the battery temperature has a sensor for it."""
    for ident, charger, idents, battery in groups_of(van):
        profile, compensation = charger.profile, battery.compensation_range(van.system.van.nominal_v)
        if compensation is None or compensation.low == 0 or profile is None or profile.temperature_sensor:
            continue
        words = {"charger": van.name(ident), "battery": van.names(idents)}
        trail = (*van.trail(ident), "profile")
        cited = (compensation,)
        unknown = profile.temperature_sensor is None
        yield Breach("no-temperature-sensor", ident, trail, words, cited=cited, unknown=unknown)
