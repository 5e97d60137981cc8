"""All chargers of one battery end at the same voltage, below that at which its electronics disconnect."""

from collections.abc import Iterator

from vandoc.analysis import Van, exceeds
from vandoc.ground.data import constant
from vandoc.judgement.checks.amount import Amount
from vandoc.judgement.checks.cures import pieces
from vandoc.judgement.checks.rule import Breach, Word, fail, review, rule
from vandoc.judgement.checks.shared.profiles import pairs_of


@rule(review("profiles-differ"), fail("charger-above-cut-off", pieces.absorption))
def alike(van: Van) -> Iterator[Breach]:
    """All chargers of one battery end at the same voltage, below that at which its electronics disconnect."""
    allowed = constant("charging voltages apart")
    settings: dict[str, dict[str, float]] = {}
    for ident, charger, battery_id, battery in pairs_of(van):
        if charger.profile is None:
            continue
        volts = charger.profile.absorption_v
        label = (battery.nominal_v or van.system.van.nominal_v, battery.cells)
        suited = battery.traits.scaled(battery.traits.absorption_v, *label)
        if suited is not None and (exceeds(suited.low, volts) or exceeds(volts, suited.high)):
            continue  # told by the rule on the absorption voltage
        settings.setdefault(battery_id, {})[ident] = volts
        cut = battery.over_voltage_v
        if cut is not None and volts >= cut:
            words: dict[str, Word] = {"charger": van.name(ident), "battery": battery.name}
            trail = (*van.trail(ident), "profile", "absorption")
            found, limit = Amount(volts, "V", 2), Amount(cut, "V", 2)
            yield Breach("charger-above-cut-off", ident, trail, words, found, limit)
    told: set[tuple[str, str]] = set()
    for battery_id, found_v in settings.items():
        nominal = van.leisure[battery_id].nominal_v or van.system.van.nominal_v
        high, low = max(found_v, key=lambda i: found_v[i]), min(found_v, key=lambda i: found_v[i])
        apart, limit_v = found_v[high] - found_v[low], allowed.value * nominal / 12
        if (high, low) not in told and exceeds(apart, limit_v):
            told.add((high, low))
            words = {
                "charger": van.name(low),
                "low": Amount(found_v[low], "V", 2),
                "other": van.name(high),
                "high": Amount(found_v[high], "V", 2),
                "battery": van.name(battery_id),
            }
            trail = (*van.trail(low), "profile", "absorption")
            found, limit = Amount(apart, "V", 2), Amount(limit_v, "V", 2)
            yield Breach("profiles-differ", low, trail, words, found, limit, (allowed,))
