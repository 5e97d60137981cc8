"""The controller of panels does not join their positive to a battery whose negative is on the body."""

from collections.abc import Iterator

from vandoc.analysis import Van
from vandoc.judgement.checks.rule import Breach, fail, rule
from vandoc.judgement.checks.shared.solar import plants


@rule(fail("controller-common-positive"))
def common_pole(van: Van) -> Iterator[Breach]:
    """The controller of panels does not join their positive to a battery whose negative is on the body."""
    if not van.leisure or len(van.body_faults.unbonded) == len(van.leisure):
        return  # nothing is bonded, which is said elsewhere
    for plant in plants(van):
        pole = van.system.equipment[plant.ident].common_pole()
        if pole in (None, "positive"):
            trail = (*van.trail(plant.ident), "common")
            words = {"controller": van.name(plant.ident)}
            yield Breach("controller-common-positive", plant.ident, trail, words, unknown=pole is None)
