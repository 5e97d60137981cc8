"""A return conductor carries the current that the fuses of all its loads allow."""

from collections.abc import Iterator
from math import isinf

from vandoc.analysis import Van, exceeds
from vandoc.judgement.checks.amount import Amount
from vandoc.judgement.checks.cures import sizes
from vandoc.judgement.checks.rule import Breach, fail, rule
from vandoc.judgement.checks.shared.capacity import capacity_steps, is_too_hot
from vandoc.judgement.checks.shared.returns import pairs


@rule(fail("fuse-above-return", sizes.smaller_before, sizes.stronger))
def protected(van: Van) -> Iterator[Breach]:
    """A return conductor carries the current that the fuses of all its loads allow."""
    paired = {back.id for _, back, _ in pairs(van)}  # as large as a supply that is checked itself
    for sized in van.sizing.conductors.values():
        conductor = sized.conductor
        if conductor.id in paired or conductor.vehicle or not sized.capacities:
            continue
        if is_too_hot(sized) or sized.decided == "none fits":
            continue
        if isinf(sized.returned_a) or exceeds(sized.design_a, sized.capacity_a):
            continue  # reported for the supply, and by the capacity rule
        if exceeds(sized.returned_a, sized.capacity_a):
            yield Breach(
                "fuse-above-return",
                van.subject(conductor),
                conductor.trail,
                {"cable": conductor.id, "size": sized.size},
                Amount(sized.returned_a, "A"),
                Amount(sized.capacity_a, "A"),
                cited=(sized.capacities[0],),
                steps=capacity_steps(sized),
            )
