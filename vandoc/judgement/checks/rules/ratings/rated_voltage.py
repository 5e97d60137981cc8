"""Contacts, boards and fuse holders are made for the highest voltage of their net."""

from collections.abc import Iterator

from vandoc.analysis import Van, exceeds
from vandoc.judgement.checks.amount import Amount
from vandoc.judgement.checks.cures.pieces import higher_voltage
from vandoc.judgement.checks.rule import Breach, fail, rule
from vandoc.judgement.checks.shared.ratings import highest_at


@rule(fail("voltage-above-rating", higher_voltage))
def rated_voltage(van: Van) -> Iterator[Breach]:
    """Contacts, boards and fuse holders are made for the highest voltage of their net."""
    for ident, piece in van.system.equipment.items():
        rating, volts = piece.withstands(), highest_at(van, ident)
        if rating is None or volts is None:
            continue
        trail, words, found = van.trail(ident), {"name": van.name(ident)}, Amount(volts, "V")
        if rating.voltage_v is None:
            if exceeds(volts, rating.asked_above_v):
                yield Breach("voltage-above-rating", ident, trail, words, found, unknown=True)
        elif exceeds(volts, rating.voltage_v):
            limit = Amount(rating.voltage_v, "V")
            yield Breach("voltage-above-rating", ident, trail, words, found, limit)
