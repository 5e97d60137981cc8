"""The chargers, one by one and together, do not exceed the charging current limit of the batteries."""

from collections.abc import Iterator
from math import fsum, isinf

from vandoc.analysis import Van, exceeds
from vandoc.judgement.checks.amount import Amount
from vandoc.judgement.checks.cures import pieces
from vandoc.judgement.checks.rule import Breach, fail, review, rule
from vandoc.judgement.checks.shared.charging import banks


@rule(
    fail("charge-current-above-limit", pieces.smaller_charger),
    review("charge-current-above-recommended"),
    review("chargers-together-above-limit"),
)
def charge_current(van: Van) -> Iterator[Breach]:
    """The chargers, one by one and together, do not exceed the charging current limit of the batteries."""
    for bank in banks(van):
        words = {"battery": van.names(bank.idents)}
        limit, usual = Amount(bank.limit_a, "A"), Amount(bank.recommended_a, "A")
        subject, most, keeps = bank.idents[0], *bank.cited
        if isinf(bank.limit_a) and bank.chargers:
            trail = van.trail(subject)
            yield Breach("charge-current-above-limit", subject, trail, words, unknown=True)
        worst = 0.0
        for ident, amps in bank.chargers.items():
            found = Amount(amps, "A")
            here = {**words, "charger": van.name(ident)}
            if exceeds(amps, bank.limit_a):
                yield Breach("charge-current-above-limit", ident, van.trail(ident), here, found, limit, most)
            elif exceeds(amps, bank.recommended_a):
                yield Breach(
                    "charge-current-above-recommended", ident, van.trail(ident), here, found, usual, keeps
                )
            worst = max(worst, amps)
        together = max(bank.together(), key=lambda chargers: fsum(chargers.values()), default={})
        total = fsum(together.values())
        if exceeds(total, bank.limit_a) and not exceeds(worst, bank.limit_a):
            words |= {"charger": van.names(together)}
            yield Breach(
                "chargers-together-above-limit",
                subject,
                van.trail(subject),
                words,
                Amount(total, "A"),
                limit,
                most,
            )
