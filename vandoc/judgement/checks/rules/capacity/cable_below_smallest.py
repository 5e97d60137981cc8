"""A separate conductor is no smaller than the minimum cross-sectional area in the standard."""

from collections.abc import Iterator

from vandoc.analysis import Van, exceeds
from vandoc.judgement.checks.amount import Amount
from vandoc.judgement.checks.rule import Breach, review, rule
from vandoc.judgement.checks.shared.capacity import ours
from vandoc.physics import limits


@rule(review("cable-below-smallest"))
def smallest(van: Van) -> Iterator[Breach]:
    """A separate conductor is no smaller than the minimum cross-sectional area in the standard."""
    found: set[str] = set()  # a circuit is reported once, for its supply or its return
    for sized in ours(van):
        conductor = sized.conductor
        least = limits.smallest_cable(
            van.system,
            sheathed=conductor.sheathed,
            length_m=conductor.length_m,
            current_a=0.0 if conductor.signal else round(sized.design_a, 6),
        )
        thin = least is not None and exceeds(least.area_mm2, sized.area_mm2)
        if least is not None and thin and van.subject(conductor) not in found:
            found.add(van.subject(conductor))
            yield Breach(
                "cable-below-smallest",
                van.subject(conductor),
                conductor.trail,
                {"cable": conductor.id, "length": Amount(conductor.length_m, "m")},
                Amount(sized.area_mm2, "mm²"),
                Amount(least.area_mm2, "mm²"),
                cited=(least,),
            )
