"""A separate conductor is no smaller than the minimum cross-sectional area in the standard."""

from collections.abc import Iterator

from vandoc.analysis import Van
from vandoc.ground.data import constant
from vandoc.judgement.checks.amount import Amount
from vandoc.judgement.checks.rule import Breach, review, rule
from vandoc.judgement.checks.shared.capacity import ours
from vandoc.physics import limits


@rule(review("cable-below-smallest"))
def smallest(van: Van) -> Iterator[Breach]:
    """A separate conductor is no smaller than the minimum cross-sectional area in the standard."""
    least, short = limits.smallest_cable(van.system), constant("short separate conductor")
    for sized in ours(van):
        conductor = sized.conductor
        if conductor.length_m > short.value and not conductor.sheathed and sized.area_mm2 < least.value:
            yield Breach(
                "cable-below-smallest",
                van.subject(conductor),
                conductor.trail,
                {"cable": conductor.id, "length": Amount(conductor.length_m, "m")},
                Amount(sized.area_mm2, "mm²"),
                Amount(least.value, "mm²"),
                cited=(least,),
            )
