"""The absorption and float voltages of a charger are in the range for the battery chemistry."""

from collections.abc import Iterator

from vandoc.analysis import Van, exceeds
from vandoc.ground.figures import plain, span
from vandoc.judgement.checks.amount import Amount
from vandoc.judgement.checks.cures import pieces
from vandoc.judgement.checks.rule import Breach, Word, fail, review, rule
from vandoc.judgement.checks.shared.profiles import groups_of


@rule(fail("absorption-voltage", pieces.absorption), review("float-voltage"))
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
        for slug, key, volts, figure in (
            ("absorption-voltage", "absorption", profile.absorption_v, traits.absorption_v),
            ("float-voltage", "float", profile.float_v, traits.float_v),
        ):
            allowed = traits.scaled(figure, nominal, battery.cells)
            if allowed is None:  # told by the rule on traits that are not known
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
