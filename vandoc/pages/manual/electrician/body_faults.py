"""Rows of the electrician's page on short circuits: positive conductors that touch the vehicle body."""

from collections.abc import Iterator
from dataclasses import dataclass

from vandoc.ground.figures import quantity, span, stated
from vandoc.ground.unknown import is_unknown
from vandoc.pages.manual.book import Book
from vandoc.pages.manual.text import say
from vandoc.physics.network.body_faults import BodyFault, ReturnPart


@dataclass(frozen=True)
class BodyRow:
    """The faults to the body behind one fuse; figures as text."""

    fuse: str
    currents: str
    cable: str
    heat: str
    withstand: str
    verdict: str


def body_rows(book: Book) -> Iterator[BodyRow]:
    """Yield a row for each fuse that is the last one before a fault to the body."""
    behind: dict[str, list[BodyFault]] = {}
    for fault in book.van.body_faults.faults:
        if fault.fuses:
            behind.setdefault(fault.fuses[-1].link.id, []).append(fault)
    for faults in behind.values():
        fuse = faults[0].fuses[-1]
        parts = [part for fault in faults for part in fault.parts]
        weakest = max(parts, key=lambda part: (_rank(part), part.heat_a2s / part.withstand_a2s), default=None)
        currents = min(f.smallest_a for f in faults), max(f.largest_a for f in faults)
        yield BodyRow(
            say("fault.fuse", fuse=book.fuse_name(fuse.link), rating=stated(fuse.rating_a, "A")),
            span(*currents, "A"),
            weakest.cable.conductor.id if weakest else say("fault.body.vehicle"),
            quantity(weakest.heat_a2s, "A²s") if weakest and weakest.heat_a2s else say("no_figure"),
            quantity(weakest.withstand_a2s, "A²s") if weakest else "",
            _verdict(faults, weakest),
        )


def _rank(part: ReturnPart) -> int:
    return ("survives", "not known", "burns").index(_survives(part))


def _survives(part: ReturnPart) -> str:
    return "not known" if is_unknown(part.survives) else part.survives


def _verdict(faults: list[BodyFault], weakest: ReturnPart | None) -> str:
    if any(fault.opens is False for fault in faults):
        return say("fault.body.unseen")
    if any(fault.opens is None for fault in faults):
        return say("fault.body.not_known")
    return say(f"fault.body.{_survives(weakest).replace(' ', '_')}" if weakest else "fault.body.survives")
