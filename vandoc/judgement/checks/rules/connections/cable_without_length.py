"""The length of each cable is large enough to calculate with."""

from collections.abc import Iterator

from vandoc.analysis import Van
from vandoc.ground.data import constant
from vandoc.judgement.checks.amount import Amount
from vandoc.judgement.checks.rule import Breach, review, rule
from vandoc.physics.network.graph import Conductor


@rule(review("cable-without-length"))
def without_length(van: Van) -> Iterator[Breach]:
    """The length of each cable is large enough to calculate with."""
    least = constant("shortest cable")
    found: dict[object, Conductor] = {}  # the file states supply and return of a circuit as one
    for conductor in van.network.conductors.values():
        if not conductor.signal and conductor.length_m < least.value:
            found.setdefault(conductor.run, conductor)
    for conductor in found.values():
        subject = van.subject(conductor)
        yield Breach(
            "cable-without-length",
            subject,
            conductor.trail,
            {"cable": subject},
            Amount(1000 * conductor.length_m, "mm"),
            Amount(1000 * least.value, "mm"),
            cited=(least,),
        )
