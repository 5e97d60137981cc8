"""A charger that follows the temperature stays within what the battery takes at that temperature."""

from collections.abc import Iterator

from vandoc.analysis import Van, exceeds
from vandoc.judgement.checks.amount import Amount
from vandoc.judgement.checks.rule import Breach, Word, fail, rule
from vandoc.judgement.checks.shared.profiles import groups_of
from vandoc.physics.network.voltages import STANDARD_C


@rule(fail("compensation-too-high"))
def compensation(van: Van) -> Iterator[Breach]:
    """A charger that follows the temperature stays within what the battery takes at that temperature."""
    for ident, charger, idents, battery in groups_of(van):
        profile, needed = charger.profile, battery.traits.compensation_mv_per_cell_k
        allowed = battery.absorption_range(van.system.van.nominal_v)
        count = battery.traits.cells_for(battery.nominal_v or van.system.van.nominal_v, battery.cells)
        if profile is None or needed is None or allowed is None or count is None:
            continue
        words: dict[str, Word] = {"charger": van.name(ident), "battery": van.names(idents)}
        trail, stated = (*van.trail(ident), "profile"), profile.compensation_mv_per_k
        if stated is None:
            if profile.temperature_sensor and needed.low == needed.high == 0:
                yield Breach("compensation-too-high", ident, trail, words, unknown=True)
            continue
        places = [van.system.places[van.leisure[one].place] for one in idents]
        for celsius in (min(p.coldest_c for p in places), max(p.hottest_c for p in places)):
            kelvin = celsius - STANDARD_C
            wanted = max(needed.low * count[0] * kelvin, needed.high * count[0] * kelvin) / 1000
            value, limit = profile.absorption_v + stated * kelvin / 1000, allowed.high + wanted
            if exceeds(value, limit):
                words |= {
                    "setting": Amount(profile.absorption_v, "V", 2),
                    "compensation": Amount(stated, "mV/K"),
                    "celsius": Amount(celsius, "°C"),
                    "standard": Amount(STANDARD_C, "°C"),
                }
                found, most = Amount(value, "V", 2), Amount(limit, "V", 2)
                yield Breach("compensation-too-high", ident, trail, words, found, most, (needed,))
                break
