"""Equalisation is only switched on for a battery that permits it, at its voltage."""

from collections.abc import Iterator

from vandoc.analysis import Van, exceeds
from vandoc.ground.figures import plain, span
from vandoc.judgement.checks.amount import Amount
from vandoc.judgement.checks.rule import Breach, Word, fail, rule
from vandoc.judgement.checks.shared.profiles import groups_of


@rule(fail("equalisation-not-permitted"), fail("equalisation-voltage"))
def equalisation(van: Van) -> Iterator[Breach]:
    """Equalisation is only switched on for a battery that permits it, at its voltage."""
    for ident, charger, idents, battery in groups_of(van):
        volts = charger.profile.equalise_v if charger.profile else None
        if volts is None:
            continue
        traits, trail = battery.traits, (*van.trail(ident), "profile", "equalise")
        words: dict[str, Word] = {
            "charger": van.name(ident),
            "battery": van.names(idents),
            "chemistry": traits.names.electrician,
        }
        found = Amount(volts, "V")
        if not traits.equalising:
            yield Breach("equalisation-not-permitted", ident, trail, words, found)
            continue
        nominal = battery.nominal_v or van.system.van.nominal_v
        allowed = traits.scaled(traits.equalise_v, nominal, battery.cells)
        if allowed is None:  # told by the rule on traits that are not known
            continue
        if exceeds(allowed.low, volts) or exceeds(volts, allowed.high):
            words |= {"range": plain(span(allowed.low, allowed.high, "V"))}
            limit = Amount(allowed.high if volts > allowed.high else allowed.low, "V")
            yield Breach("equalisation-voltage", ident, trail, words, found, limit, (allowed,))
