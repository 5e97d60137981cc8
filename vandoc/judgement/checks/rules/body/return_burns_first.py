"""When a positive conductor touches the body, the fuse opens before any part of the return is damaged."""

from collections.abc import Iterator

from vandoc.analysis import Van
from vandoc.ground.calc.fuse import FAMILIES
from vandoc.ground.calc.protection import adiabatic_k_for
from vandoc.judgement.checks.amount import Amount
from vandoc.judgement.checks.cures import sizes
from vandoc.judgement.checks.rule import Breach, Word, fail, rule
from vandoc.physics.network.body_faults import BodyFault, ReturnPart


@rule(fail("return-burns-first", sizes.next_thicker, sizes.next_smaller))
def survives(van: Van) -> Iterator[Breach]:
    """When a positive conductor touches the body, the fuse opens before any part of the return is damaged."""
    worst: dict[str, tuple[BodyFault, ReturnPart]] = {}
    for fault in van.body_faults.faults:
        for part in fault.parts:
            cable = part.cable.conductor.id
            if part.survives != "survives" and (cable not in worst or _rank(part) > _rank(worst[cable][1])):
                worst[cable] = fault, part
    for fault, part in worst.values():
        conductor, fuse = part.cable.conductor, fault.fuses[-1]
        words: dict[str, Word] = {
            "cable": conductor.id,
            "size": van.sizing.conductors[conductor.id].size,
            "terminal": fault.terminal,
            "place": van.place_label(fault.terminal),
            "fuse": van.fuse_name(fuse.link),
            "family": FAMILIES[fuse.link.family].title,
            "rating": Amount(fuse.rating_a, "A"),
            "largest": Amount(part.cable.largest_a, "A"),
            "smallest": Amount(part.cable.smallest_a, "A"),
            "k": Amount(adiabatic_k_for(conductor.insulation_c)),
            "area": Amount(van.sizing.conductors[conductor.id].area_mm2, "mm²"),
        }
        yield Breach(
            "return-burns-first",
            van.subject(conductor),
            conductor.trail,
            words,
            Amount(part.heat_a2s, "A²s"),
            Amount(part.withstand_a2s, "A²s"),
            tuple(time for time in (fuse.at_smallest,) if time is not None),
            unknown=part.survives == "not known",
        )


def _rank(part: ReturnPart) -> tuple[bool, float]:
    return part.survives == "burns", part.heat_a2s / part.withstand_a2s
