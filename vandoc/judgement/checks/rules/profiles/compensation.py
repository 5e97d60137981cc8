"""A charger that follows the temperature stays within what the battery takes at that temperature."""

from collections.abc import Iterator

from vandoc.analysis import Van, exceeds
from vandoc.judgement.checks.amount import Amount
from vandoc.judgement.checks.rule import Breach, Word, fail, review, rule
from vandoc.judgement.checks.shared.profiles import groups_of
from vandoc.physics.network.voltages import STANDARD_C


@rule(fail("compensation-too-high"), review("compensation-too-low"))
def compensation(van: Van) -> Iterator[Breach]:
    """A charger that follows the temperature stays within what the battery takes at that temperature."""
    for ident, charger, idents, battery in groups_of(van):
        profile, needed = charger.profile, battery.compensation_range(van.system.van.nominal_v)
        allowed = battery.absorption_range(van.system.van.nominal_v)
        if profile is None or needed is None or allowed is None:
            continue
        words: dict[str, Word] = {"charger": van.name(ident), "battery": van.names(idents)}
        trail, stated = (*van.trail(ident), "profile"), profile.compensation_mv_per_k
        if stated is None:
            if profile.temperature_sensor and needed.low == needed.high == 0:
                yield Breach("compensation-too-high", ident, trail, words, unknown=True)
            continue
        words |= {
            "setting": Amount(profile.absorption_v, "V", 2),
            "compensation": Amount(stated, "mV/K"),
            "standard": Amount(STANDARD_C, "°C"),
        }
        places = [van.system.places[van.leisure[one].place] for one in idents]
        coldest, hottest = min(p.coldest_c for p in places), max(p.hottest_c for p in places)
        for celsius in (coldest, hottest):
            kelvin = celsius - STANDARD_C
            wanted = max(needed.low * kelvin, needed.high * kelvin) / 1000
            value, limit = profile.absorption_v + stated * kelvin / 1000, allowed.high + wanted
            if exceeds(value, limit):
                words["celsius"] = Amount(celsius, "°C")
                found, most = Amount(value, "V", 2), Amount(limit, "V", 2)
                yield Breach("compensation-too-high", ident, trail, words, found, most, (needed,))
                break
        kelvin = coldest - STANDARD_C
        raised = stated * kelvin / 1000
        least = needed.high * kelvin / 1000
        if kelvin < 0 and profile.temperature_sensor and exceeds(least, raised):
            words |= {"celsius": Amount(coldest, "°C"), "needed": Amount(needed.high, "mV/K")}
            yield Breach(
                "compensation-too-low",
                ident,
                (*trail, "compensation"),
                words,
                Amount(profile.absorption_v + raised, "V", 2),
                Amount(profile.absorption_v + least, "V", 2),
                (needed,),
            )
