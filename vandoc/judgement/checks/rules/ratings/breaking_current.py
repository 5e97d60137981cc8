"""A contact that is opened under load can break its direct current."""

from collections.abc import Iterator

from vandoc.analysis import Van, exceeds
from vandoc.ground.data import constant
from vandoc.judgement.checks.amount import Amount
from vandoc.judgement.checks.rule import Breach, Word, fail, rule
from vandoc.judgement.checks.shared.ratings import contact, highest_at


@rule(fail("contact-cannot-break"))
def breaking(van: Van) -> Iterator[Breach]:
    """A contact that is opened under load can break its direct current."""
    arc = constant("voltage that keeps an arc")
    for ident, piece in van.system.equipment.items():
        rating, volts, joint = piece.withstands(), highest_at(van, ident), contact(van, ident)
        if rating is None or not rating.opens or volts is None or joint is None:
            continue
        trail, found = van.trail(ident), Amount(van.amps(joint), "A")
        words: dict[str, Word] = {"name": van.name(ident), "highest": Amount(volts, "V")}
        if rating.breaking_a is None:
            if exceeds(volts, arc.value) and found.value > 0:
                yield Breach("contact-cannot-break", ident, trail, words, found, unknown=True)
        elif exceeds(found.value, rating.breaking_a):
            yield Breach("contact-cannot-break", ident, trail, words, found, Amount(rating.breaking_a, "A"))
