"""Chargers take no more than the alternator delivers with the engine idling."""

from collections.abc import Iterator
from math import fsum

from vandoc.analysis import Van, exceeds
from vandoc.ground.data import constant
from vandoc.judgement.checks.amount import Amount
from vandoc.judgement.checks.cures import pieces
from vandoc.judgement.checks.rule import Breach, CitedFigure, Phrase, fail, review, rule
from vandoc.model import equipment as eq


@rule(
    fail("charging-above-idle-output", pieces.less_drawn),
    review("charging-above-usual-idle-output"),
)
def alternator_idle(van: Van) -> Iterator[Breach]:
    """Chargers take no more than the alternator delivers with the engine idling."""
    usual = constant("idle output of an alternator")
    for ident, alternator in van.of_kind(eq.Alternator):
        stated = alternator.idle_a is not None
        idle = usual.value * alternator.rating_a if alternator.idle_a is None else alternator.idle_a
        inputs = [c for c in van.consumers_in(van.net(f"{ident}.+")) if c.kind == "charger"]
        asked = fsum(consumer.amps_a for consumer in inputs)
        share = constant("alternator share to spare").value * alternator.lasting_a
        if exceeds(asked, share if alternator.spare_a is None else alternator.spare_a):
            continue  # said of what it can spare
        if exceeds(asked, idle):
            cited: tuple[CitedFigure | Phrase, ...] = (Phrase("stated"),) if stated else (usual,)
            yield Breach(
                "charging-above-idle-output" if stated else "charging-above-usual-idle-output",
                ident,
                van.trail(ident),
                {
                    "alternator": van.name(ident),
                    "rating": Amount(alternator.rating_a, "A"),
                    "users": van.names(consumer.owner for consumer in inputs),
                },
                Amount(asked, "A"),
                Amount(idle, "A"),
                cited,
            )
