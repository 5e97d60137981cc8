"""No cable is longer than a vehicle on the road can need."""

from collections.abc import Iterator

from vandoc.analysis import Van
from vandoc.ground.data import constant
from vandoc.judgement.checks.amount import Amount
from vandoc.judgement.checks.rule import Breach, review, rule
from vandoc.physics.network.graph import Conductor


@rule(review("cable-implausibly-long"))
def cable_length(van: Van) -> Iterator[Breach]:
    """No cable is longer than a vehicle on the road can need."""
    most = constant("longest cable")
    found: dict[str, Conductor] = {}  # the file states supply and return of a circuit as one
    for conductor in van.network.conductors.values():
        if conductor.length_m > most.value:
            found.setdefault(van.subject(conductor), conductor)
    for subject, conductor in found.items():
        amounts = Amount(conductor.length_m, "m"), Amount(most.value, "m")
        words = {"cable": subject}
        yield Breach("cable-implausibly-long", subject, conductor.trail, words, *amounts, cited=(most,))
