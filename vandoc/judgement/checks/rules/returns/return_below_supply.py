"""The return has at least the cross-sectional area of the supply."""

from collections.abc import Iterator

from vandoc.analysis import Van, exceeds
from vandoc.judgement.checks.amount import Amount
from vandoc.judgement.checks.cures import sizes
from vandoc.judgement.checks.rule import Breach, fail, rule
from vandoc.judgement.checks.shared.returns import pairs


@rule(fail("return-below-supply", sizes.at_least))
def size(van: Van) -> Iterator[Breach]:
    """The return has at least the cross-sectional area of the supply."""
    areas = {ident: sized.area_mm2 for ident, sized in van.sizing.conductors.items()}
    for owner, back, supplies in pairs(van):
        supply = max(supplies, key=lambda conductor: areas[conductor.id])
        if exceeds(areas[supply.id], areas[back.id]):
            yield Breach(
                "return-below-supply",
                owner,
                back.trail,
                {"cable": back.id, "supply": supply.id, "name": van.name(owner)},
                Amount(areas[back.id], "mm²"),
                Amount(areas[supply.id], "mm²"),
            )
