"""Charging draws no more from the alternator than the vehicle leaves available."""

from collections.abc import Iterator
from math import fsum

from vandoc.analysis import Van, exceeds
from vandoc.ground.data import constant
from vandoc.judgement.checks.amount import Amount
from vandoc.judgement.checks.cures import pieces
from vandoc.judgement.checks.rule import Breach, CitedFigure, Phrase, Word, fail, review, rule
from vandoc.judgement.checks.shared.charging import split_charges
from vandoc.model import equipment as eq


@rule(fail("alternator-overdrawn", pieces.less_drawn), review("relay-overdraws-alternator"))
def alternator_share(van: Van) -> Iterator[Breach]:
    """Charging draws no more from the alternator than the vehicle leaves available."""
    share = constant("alternator share to spare")
    for ident, alternator in van.of_kind(eq.VehicleSource):
        spare = share.value * alternator.lasting_a if alternator.spare_a is None else alternator.spare_a
        cited: tuple[CitedFigure | Phrase, ...] = (
            (share,) if alternator.spare_a is None else (Phrase("stated"),)
        )
        inputs = [
            consumer for consumer in van.consumers_in(van.net(f"{ident}.+")) if consumer.kind == "charger"
        ]
        relays = [
            (owner, van.amps(joint))
            for owner, joint, _ in split_charges(van)
            if {joint.start, joint.end} & van.net(f"{ident}.+")
        ]
        charging = fsum(consumer.amps_a for consumer in inputs)
        total = charging + fsum(amps for _, amps in relays)
        words: dict[str, Word] = {
            "alternator": van.name(ident),
            "users": van.names([c.owner for c in inputs] + [owner for owner, _ in relays]),
            "rating": Amount(alternator.rating_a, "A"),
        }
        slug = "alternator-overdrawn" if exceeds(charging, spare) else "relay-overdraws-alternator"
        if exceeds(total, spare):
            found = Amount(total, "A")
            yield Breach(slug, ident, van.trail(ident), words, found, Amount(spare, "A"), cited)
