"""A charger without a temperature sensor is not too high for its battery at the hottest of its place."""

from collections.abc import Iterator

from vandoc.analysis import Van, exceeds
from vandoc.judgement.checks.amount import Amount
from vandoc.judgement.checks.rule import Breach, Word, review, rule
from vandoc.judgement.checks.shared.profiles import groups_of
from vandoc.physics.network.voltages import STANDARD_C, compensated_v


@rule(review("charge-voltage-when-hot"))
def when_hot(van: Van) -> Iterator[Breach]:
    """A charger without a temperature sensor is not too high for its battery at the hottest of its place."""
    sources = {source.owner: source for source in van.network.batteries()}
    for ident, charger, idents, battery in groups_of(van):
        profile = charger.profile
        allowed = battery.absorption_range(van.system.van.nominal_v)
        if profile is None or profile.temperature_sensor is not False or allowed is None:
            continue
        lower = min(compensated_v(van.system, sources[one], cold=False) for one in idents)
        most = allowed.high + lower
        if lower < 0 and exceeds(profile.absorption_v, most):
            hottest = max(van.system.places[van.leisure[one].place].hottest_c for one in idents)
            words: dict[str, Word] = {
                "charger": van.name(ident),
                "battery": van.names(idents),
                "hottest": Amount(hottest, "°C"),
                "standard": Amount(STANDARD_C, "°C"),
                "at_standard": Amount(allowed.high, "V", 2),
                "lower": Amount(-lower, "V", 2),
            }
            found, limit = Amount(profile.absorption_v, "V", 2), Amount(most, "V", 2)
            trail = (*van.trail(ident), "profile", "absorption")
            yield Breach("charge-voltage-when-hot", ident, trail, words, found, limit, (allowed,))
