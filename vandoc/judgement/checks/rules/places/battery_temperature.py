"""A leisure battery stays within the temperatures at which it may be charged and discharged."""

from collections.abc import Iterator

from vandoc.analysis import Van, exceeds
from vandoc.judgement.checks.amount import Amount
from vandoc.judgement.checks.cures.pieces import set_to
from vandoc.judgement.checks.rule import Breach, Word, fail, review, rule


@rule(
    fail("battery-too-hot"),
    fail("battery-charged-in-heat", set_to("high_temperature_lockout", True)),
    review("battery-too-cold"),
)
def temperature(van: Van) -> Iterator[Breach]:
    """A leisure battery stays within the temperatures at which it may be charged and discharged."""
    for ident, battery in van.system.leisure.items():
        place, traits, trail = van.system.places[battery.place], battery.traits, van.trail(ident)
        words: dict[str, Word] = {"battery": battery.name, "place": place.label}
        hot, cold = Amount(place.hottest_c, "°C"), Amount(place.coldest_c, "°C")
        used, charged = traits.highest_discharging_c, traits.highest_charging_c
        if used is not None and place.hottest_c >= used.low:
            limit = Amount(used.low, "°C")
            yield Breach("battery-too-hot", ident, trail, words, hot, limit, (used,))
        elif charged is not None and exceeds(place.hottest_c, charged.low):
            locked = battery.high_temperature_lockout
            if not locked:
                limit = Amount(charged.low, "°C")
                yield Breach(
                    "battery-charged-in-heat",
                    ident,
                    trail,
                    words,
                    hot,
                    limit,
                    (charged,),
                    unknown=locked is None,
                )
        lowest = traits.lowest_discharging_c
        if lowest is None or battery.heated:
            continue
        if place.coldest_c <= lowest.high:
            limit = Amount(lowest.high, "°C")
            yield Breach("battery-too-cold", ident, trail, words, cold, limit, (lowest,))
