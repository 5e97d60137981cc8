"""The electrician's page on short circuits: currents, operating times, cable withstand, selectivity."""

from collections.abc import Iterator
from dataclasses import dataclass
from math import isinf

from vandoc.ground.calc.fuse import FAMILIES
from vandoc.ground.calc.fuse_time import OpeningTime, sure_multiple
from vandoc.ground.calc.protection import adiabatic_k_for
from vandoc.ground.figures import bare, in_unit, number, quantity, span, stated
from vandoc.ground.measures import measure, measured
from vandoc.ground.unknown import cannot_tell, is_unknown
from vandoc.pages.manual.book import Book
from vandoc.pages.manual.electrician.body_faults import body_rows
from vandoc.pages.manual.electrician.states import in_order
from vandoc.pages.manual.page import Page
from vandoc.pages.manual.text import say, sourced
from vandoc.physics.network.faults import BRIEF_S, CableInFault, EndFault, FuseInFault
from vandoc.physics.network.graph import FuseLink

SUM_DIGITS = 4  # significant figures of a time in the working, one more than elsewhere


@dataclass(frozen=True)
class FuseRow:
    """A fuse and the prospective current at its position; numbers as text, the rating in A."""

    name: str
    family: str
    rating: str
    prospective: str


@dataclass(frozen=True)
class EndRow:
    """A short circuit at the end of a circuit; figures as text."""

    name: str
    currents: str
    fuse: str
    opens: str
    source: str
    cable: str
    stands: str
    verdict: str
    sums: tuple[str, ...]


@dataclass(frozen=True)
class PairRow:
    """Two fuses in series."""

    upper: str
    lower: str
    shown: bool


def pages(book: Book) -> Iterator[Page]:
    """Yield the page on short circuits."""
    found = book.van.faults
    pairs: dict[tuple[str, str], bool] = {}
    for end in found.at_end.values():
        for upper, lower, shown in end.discrimination:
            pairs[upper, lower] = pairs.get((upper, lower), True) and shown
    links = book.network.fuses
    view = {
        "fuses": [
            FuseRow(
                book.fuse_name(links[ident]),
                _type_of(links[ident]),
                stated(book.sizing.fuses[ident].rating_a),
                quantity(found.at_fuse_a[ident], "A"),
            )
            for ident in in_order(book)
        ],
        "ends": [_end(book, end) for end in found.at_end.values()],
        "bodies": list(body_rows(book)),
        "pairs": [
            PairRow(book.fuse_name(links[upper]), book.fuse_name(links[lower]), shown)
            for (upper, lower), shown in pairs.items()
        ],
    }
    yield Page("electrician/faults.md", "electrician/faults", say("menu.faults"), view, searched=False)


def _type_of(fuse: FuseLink) -> str:
    return str(fuse.family) if is_unknown(fuse.family) else FAMILIES[fuse.family].title


def _end(book: Book, end: EndFault) -> EndRow:
    last = end.fuses[-1] if end.fuses else None
    rating = stated(last.rating_a, "A") if last else ""
    times = [time for time in (last.at_largest, last.at_smallest) if time] if last else []
    weakest = min(end.cables, key=lambda cable: cable.withstand_largest_s, default=None)
    return EndRow(
        book.name(end.owner),
        span(end.smallest_a, end.largest_a, "A"),
        say("fault.fuse", fuse=book.fuse_name(last.link), rating=rating) if last else "",
        _opens(times) if times else say("no_figure") if last else "",
        "; ".join(dict.fromkeys(sourced(time.source, time.from_memory) for time in times)),
        weakest.conductor.id if weakest else "",
        span(weakest.withstand_largest_s, weakest.withstand_smallest_s, "s") if weakest else "",
        say(f"fault.verdict.{end.verdict.replace(' ', '_')}"),
        tuple(_sums(book, end, last, weakest)),
    )


def _opens(times: list[OpeningTime]) -> str:
    longest, shortest = max(time.longest_s for time in times), min(time.shortest_s for time in times)
    if isinf(longest):
        return say("fault.never", low=quantity(shortest, "s"))
    return span(shortest, longest, "s")


def _sums(book: Book, end: EndFault, last: FuseInFault | None, weakest: CableInFault | None) -> Iterator[str]:
    for kind, volts, amps in (
        ("largest", end.largest_v, end.largest_a),
        ("smallest", end.smallest_v, end.smallest_a),
    ):
        if volts and amps:
            yield say(
                f"fault.{kind}",
                volts=quantity(volts, "V"),
                ohms=quantity(1000 * volts / amps, "mΩ"),
                amps=quantity(amps, "A"),
            )
    if last is not None and not (is_unknown(last.link.family) or cannot_tell(last.rating_a)):
        yield from _fuse_sums(book, last)
    if weakest is None or not weakest.largest_a or cannot_tell(weakest.withstand_largest_s):
        return
    conductor = weakest.conductor
    area_mm2 = book.sizing.conductors[conductor.id].area_mm2
    yield say(
        "fault.stands",
        cable=book.edge_name(conductor.id),
        k=number(adiabatic_k_for(conductor.insulation_c) / measured(1.0, "mm²")[0]),
        insulation=stated(conductor.insulation_c, "°C"),
        area=in_unit(bare(area_mm2, "mm²"), measure("mm²")),
        amps=quantity(weakest.largest_a, "A"),
        seconds=quantity(weakest.withstand_largest_s, "s", SUM_DIGITS),
    )
    if weakest.withstand_largest_s > BRIEF_S:
        yield say("fault.longer", seconds=stated(BRIEF_S, "s"))


def _fuse_sums(book: Book, last: FuseInFault) -> Iterator[str]:
    name, sure = book.fuse_name(last.link), sure_multiple(last.link.family)
    for amps, time in ((last.largest_a, last.at_largest), (last.smallest_a, last.at_smallest)):
        if time is None:
            yield say("fault.no_gates", fuse=name)
            return
        yield say(
            "fault.multiple",
            fuse=name,
            amps=quantity(amps, "A"),
            rating=stated(last.rating_a, "A"),
            multiple=number(amps / last.rating_a),
            opens=_opens([time]),
        )
    if sure is not None:
        yield say("fault.sure", multiple=stated(sure), amps=quantity(sure * last.rating_a, "A"))
