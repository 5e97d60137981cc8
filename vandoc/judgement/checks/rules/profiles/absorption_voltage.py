"""The absorption and float voltages of a charger are in the range for the battery chemistry."""

from collections.abc import Iterator

from vandoc.analysis import Van, exceeds
from vandoc.ground.figures import plain, span
from vandoc.judgement.checks.amount import Amount
from vandoc.judgement.checks.cures import pieces
from vandoc.judgement.checks.rule import Breach, Word, fail, review, rule
from vandoc.judgement.checks.shared.profiles import groups_of


@rule(
    fail("absorption-voltage", pieces.absorption),
    review("float-voltage"),
    review("absorption-not-known"),
)
def voltages(van: Van) -> Iterator[Breach]:
    """The absorption and float voltages of a charger are in the range for the battery chemistry."""
    for ident, charger, idents, battery in groups_of(van):
        words: dict[str, Word] = {
            "charger": van.name(ident),
            "battery": van.names(idents),
            "chemistry": battery.traits.names.electrician,
        }
        profile, trail = charger.profile, (*van.trail(ident), "profile")
        if profile is None:
            yield Breach("absorption-voltage", ident, trail, words, unknown=True)
            continue
        traits, nominal = battery.traits, battery.nominal_v or van.system.van.nominal_v
        absorption = battery.absorption_range(van.system.van.nominal_v)
        floating = traits.scaled(traits.float_v, nominal, battery.cells)
        for slug, key, volts, allowed in (
            ("absorption-voltage", "absorption", profile.absorption_v, absorption),
            ("float-voltage", "float", profile.float_v, floating),
        ):
            if allowed is None:
                if key == "absorption":
                    found = Amount(profile.absorption_v, "V")
                    yield Breach("absorption-not-known", ident, (*trail, key), words, found, unknown=True)
                continue
            low, high = allowed.low, allowed.high
            if volts is not None and (exceeds(low, volts) or exceeds(volts, high)):
                yield Breach(
                    slug,
                    ident,
                    (*trail, key),
                    {**words, "range": plain(span(low, high, "V"))},
                    Amount(volts, "V"),
                    Amount(high if volts > high else low, "V"),
                    (allowed,),
                )
