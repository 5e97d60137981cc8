"""Whether a size is that of what is fitted, was calculated, or is not known."""

from collections.abc import Callable
from math import isfinite
from typing import Any, Literal

from vandoc.analysis import Van
from vandoc.model.wiring import Run, Segment
from vandoc.pages.manual.book import Book
from vandoc.pages.manual.since import archived
from vandoc.physics.network.graph import Conductor
from vandoc.physics.sizing.results import SizedConductor, SizedFuse

Status = Literal["fitted", "calculated", "unknown"]
Trail = tuple[str | int, ...]


def of_cable(book: Book, sized: SizedConductor) -> Status:
    """Return the status of the size of a cable."""
    cable = sized.conductor
    calculated = sized.proposed or (
        _cable_calculated(book, cable) and _handed_over(book, _cables).get(cable.id) != sized.size
    )
    return _status(calculated, sized.area_mm2)


def of_fuse(book: Book, sized: SizedFuse) -> Status:
    """Return the status of the rating of a fuse."""
    ident = sized.link.id
    calculated = sized.proposed or (
        _says_calculated(book, sized.link.trail)
        and _handed_over(book, _fuses).get(ident) != f"{sized.rating_a:g}"
    )
    return _status(calculated, sized.rating_a)


def run_of(book: Book, cable: Conductor) -> Run:
    """Return what the van file says of how a conductor lies; a return lies beside its supply."""
    section, index, *rest = cable.run
    if section == "cables":
        return book.system.cables[int(index)]
    found = book.system.circuits[int(index)].cable
    return found if isinstance(found, Run) else found[int(rest[-1])]


def _says_calculated(book: Book, trail: Trail) -> bool:
    """Whether the van file says of a size that it was calculated."""
    found: Any = book.system
    for step in trail:
        within = isinstance(found, dict | list)
        found = found[step] if within else getattr(found, str(step), None)  # a combiner names no positions
    return bool(getattr(found, "calculated", False))


def _status(calculated: bool, size: float) -> Status:
    return "calculated" if calculated else "fitted" if isfinite(size) else "unknown"


def _cable_calculated(book: Book, cable: Conductor) -> bool:
    """Whether the van file says that the size was calculated; a return without a size is as its supply."""
    run = run_of(book, cable)
    if cable.role == "return":
        circuit = book.system.circuits[int(cable.trail[1])]
        back = run.return_ if isinstance(run, Segment) and cable.leg else circuit.return_
        if not (isinstance(back, str) or back is None or back.area_mm2 is None):
            return back.calculated
    return run.calculated


def _handed_over(book: Book, sizes: Callable[[Van], dict[str, str]]) -> dict[str, str]:
    """Return the stated sizes of the newest revision: what was handed over is fitted."""
    newest = list(archived(book).values())[-1:]
    if not newest or newest[0] is None:  # nothing is archived, or the copy can no longer be read
        return {}
    return newest[0].once(sizes)


def _cables(van: Van) -> dict[str, str]:
    return {ident: cable.size for ident, cable in van.network.conductors.items() if cable.size}


def _fuses(van: Van) -> dict[str, str]:
    return {
        ident: f"{fuse.rating_a:g}"
        for ident, fuse in van.network.fuses.items()
        if fuse.rating_a is not None and not van.sizing.fuses[ident].proposed
    }
