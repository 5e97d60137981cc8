"""The last fuse blows before a short circuit at the end of the circuit damages a cable."""

from collections.abc import Iterator
from dataclasses import dataclass

from vandoc.analysis import Van
from vandoc.ground.calc.fuse import FAMILIES
from vandoc.ground.calc.fuse_time import OpeningTime
from vandoc.ground.calc.protection import adiabatic_k_for
from vandoc.judgement.checks.amount import Amount
from vandoc.judgement.checks.cures import sizes
from vandoc.judgement.checks.rule import Breach, fail, review, rule
from vandoc.physics.network.faults import BRIEF_S, CableInFault, EndFault


@dataclass(frozen=True)
class _LateFuse:
    """A cable whose short-circuit withstand is shorter than the operating time of the last fuse upstream."""

    end: EndFault
    cable: CableInFault
    amps: float
    time: OpeningTime
    withstand_s: float


@rule(fail("fuse-opens-too-late", sizes.next_smaller, sizes.next_thicker), review("fuse-may-open-too-late"))
def late(van: Van) -> Iterator[Breach]:
    """The last fuse blows before a short circuit at the end of the circuit damages a cable."""
    open_questions: dict[str, list[EndFault]] = {}
    for end in van.faults.at_end.values():
        if end.verdict == "not shown":
            open_questions.setdefault(end.fuses[-1].link.id, []).append(end)
        elif end.verdict == "too late":
            worst = max(_late(end), key=lambda found: round(found.time.shortest_s / found.withstand_s, 6))
            yield _too_late(van, worst)
    for fuse_id, ends in open_questions.items():
        link = van.network.fuses[fuse_id]
        words = {
            "fuse": van.fuse_name(link),
            "family": FAMILIES[link.family].title,
            "names": van.names(end.owner for end in ends),
        }
        yield Breach("fuse-opens-too-late", van.fuse_subject(link), link.trail, words, unknown=True)


def _late(end: EndFault) -> Iterator[_LateFuse]:
    last = end.fuses[-1]
    for cable in end.cables:
        for amps, time, withstand_s in (
            (cable.largest_a, last.at_largest, cable.withstand_largest_s),
            (cable.smallest_a, last.at_smallest, cable.withstand_smallest_s),
        ):
            if time is not None and time.shortest_s > withstand_s and withstand_s <= BRIEF_S:
                yield _LateFuse(end, cable, amps, time, withstand_s)


def _too_late(van: Van, late: _LateFuse) -> Breach:
    conductor, last = late.cable.conductor, late.end.fuses[-1]
    sized = van.sizing.conductors[conductor.id]
    return Breach(
        "fuse-may-open-too-late" if late.time.from_memory else "fuse-opens-too-late",
        van.subject(conductor),
        conductor.trail,
        {
            "name": van.name(late.end.owner),
            "cable": conductor.id,
            "fuse": van.fuse_name(last.link),
            "rating": Amount(last.rating_a, "A"),
            "k": Amount(adiabatic_k_for(conductor.insulation_c)),
            "area": Amount(sized.area_mm2, "mm²"),
            "amps": Amount(late.amps, "A"),
        },
        Amount(late.time.shortest_s, "s"),
        Amount(late.withstand_s, "s"),
        cited=(late.time,),
    )
