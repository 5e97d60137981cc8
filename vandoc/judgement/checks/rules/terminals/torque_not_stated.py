"""A terminal for a large cable is a stud and has a stated tightening torque."""

from collections.abc import Iterator

from vandoc.analysis import Van
from vandoc.ground.calc.torque import torque_range_nm
from vandoc.ground.data import constant
from vandoc.ground.figures import plain, span
from vandoc.judgement.checks.rule import Breach, Word, review, rule
from vandoc.judgement.checks.shared.terminals import cables_of, torque_range


@rule(review("torque-not-stated"))
def torque(van: Van) -> Iterator[Breach]:
    """A terminal for a large cable is a stud and has a stated tightening torque."""
    thick = constant("torque stated from")
    for ident, piece in van.system.equipment.items():
        cables = [
            sized
            for sized in cables_of(van, ident)
            if sized.conductor.torque_nm is None and sized.area_mm2 >= thick.value
        ]
        if piece.torque_nm is None and cables:
            largest = max(cables, key=lambda sized: sized.area_mm2)
            words: dict[str, Word] = {
                "name": van.name(ident),
                "cable": largest.conductor.id,
                "size": largest.size,
                "usual": _usual(van, ident),
            }
            yield Breach("torque-not-stated", ident, van.trail(ident), words)


def _usual(van: Van, ident: str) -> str:
    """Return the published range for the thread of an item, or for each thread that it may be."""
    thread = van.system.equipment[ident].stud
    if thread or any(battery.owner == ident for battery in van.network.batteries()):
        found = torque_range(van, ident)
        return " ".join(filter(None, (thread, plain(span(found.low_nm, found.high_nm, "N·m")))))
    ranges = [(one, torque_range_nm(one)) for one in ("M5", "M6", "M8", "M10")]
    return ", ".join(f"{one} {plain(span(found.low_nm, found.high_nm, 'N·m'))}" for one, found in ranges)
