"""The bond between a leisure battery and the body is as large as the battery's positive lead."""

from collections.abc import Iterator

from vandoc.analysis import Van, exceeds
from vandoc.ground.data import constant
from vandoc.judgement.checks.amount import Amount
from vandoc.judgement.checks.cures import sizes
from vandoc.judgement.checks.rule import Breach, fail, rule
from vandoc.physics.network.bonds import bonds


@rule(fail("bond-below-lead", sizes.at_least))
def bond(van: Van) -> Iterator[Breach]:
    """The bond between a leisure battery and the body is as large as the battery's positive lead."""
    least = constant("smallest bond")
    areas = {ident: sized.area_mm2 for ident, sized in van.sizing.conductors.items()}
    for found in bonds(van.system, van.network):
        lead = max(found.leads, key=lambda lead: areas[lead.id], default=None)
        needed = max(least.value, areas[lead.id] if lead else 0.0)
        area = areas[found.conductor.id]
        if exceeds(needed, area):
            yield Breach(
                "bond-below-lead",
                van.subject(found.conductor),
                found.conductor.trail,
                {
                    "cable": found.conductor.id,
                    "battery": van.name(found.battery),
                    "feed": lead.id if lead else "",
                    "area": Amount(areas[lead.id] if lead else 0.0, "mm²"),
                    "least": Amount(least.value, "mm²"),
                },
                Amount(area, "mm²"),
                Amount(needed, "mm²"),
                cited=(least,),
            )
