"""The symptoms of one van with their names and fault trees."""

from collections.abc import Collection
from dataclasses import dataclass

from vandoc.analysis.diagnosis.by_age import oldest_first
from vandoc.analysis.diagnosis.completing import complete_trees
from vandoc.analysis.diagnosis.gates import CHARGED_BY
from vandoc.analysis.diagnosis.problem import READERS, Problem
from vandoc.analysis.diagnosis.symptoms import problems
from vandoc.analysis.diagnosis.trees import Tree
from vandoc.model import equipment as eq
from vandoc.pages.diagram.light import light_text
from vandoc.pages.manual.book import Book
from vandoc.pages.manual.text import enumerated, tell, upper_first

STILL_SUPPLIED = ("weak", "slow", "still-on", "still-charging", "flat-fast")
"""Kinds of symptom in which the device still has its supply."""


@dataclass(frozen=True)
class SymptomRow:
    """A symptom as a row of a list."""

    path: str
    title: str
    hint: str


@dataclass(frozen=True)
class Fault:
    """A symptom with the fault trees of the owner and the electrician."""

    problem: Problem
    owner: Tree
    electrician: Tree

    @property
    def kind(self) -> str:
        return self.problem.symptom.partition(" ")[0]

    @property
    def subject(self) -> str:
        return self.problem.symptom.partition(" ")[2]


def faults(book: Book) -> tuple[Fault, ...]:
    """Return every symptom of the van with its fault trees."""
    return book.once(_faults)


def _faults(book: Book) -> tuple[Fault, ...]:
    found = problems(book.van)
    owner, electrician = (complete_trees(found, reader) for reader in READERS)
    return tuple(Fault(*each) for each in zip(found, owner, electrician, strict=True))


def path_of(fault: Fault, folder: str = "fault") -> str:
    """Return the path of the page of a symptom."""
    return f"{folder}/{fault.problem.symptom.replace(' ', '-')}.md"


def blamed_source(book: Book, fault: Fault) -> str:
    """Return the charging source that a symptom is about; empty if it is about none."""
    subject = fault.subject.partition(" ")[0]
    if fault.kind == "not-charging":
        return CHARGED_BY[fault.subject]
    sources = {source.owner: source.charges_from or "" for source in book.network.sources}
    return sources.get(subject, "") if fault.kind == "light" else ""


def title_of(book: Book, fault: Fault) -> str:
    """Return the title of a symptom."""
    shown = ""
    if fault.kind == "light":
        ident, _, number = fault.subject.partition(" ")
        one = book.system.things[ident].indicators[int(number) - 1]
        shown = ", ".join(light_text(one.colour, one.pattern, one.shows or ""))
    during = tell(f"while.{fault.subject.replace(' ', '_')}") if fault.kind == "not-charging" else ""
    name = name_of(book, fault)
    return upper_first(tell(f"symptom.{fault.kind}", name=name, light=shown, during=during))


def name_of(book: Book, fault: Fault) -> str:
    """Return the name of the device of a symptom; empty if it has none."""
    ident = fault.subject.partition(" ")[0]
    return book.name(ident) if ident in book.system.things else ""


def of_devices(book: Book, devices: Collection[str]) -> tuple[SymptomRow, ...]:
    """Return the symptoms of devices without supply; for a charger, those of the battery not charging."""
    during = {"alternator": "driving", "mains": "on hook-up", "solar": "sun only"}
    chargers = book.pieces(eq.Charger).items()
    sources = {during[piece.source] for ident, piece in chargers if ident in devices}
    return tuple(
        choice_of(book, fault)
        for fault in faults(book)
        if (fault.kind not in STILL_SUPPLIED and fault.subject.partition(" ")[0] in devices)
        or fault.subject in sources
    )


def choice_of(book: Book, fault: Fault, folder: str = "fault") -> SymptomRow:
    """Return a symptom as a row of a list, with its page in a folder."""
    if fault.kind == "half-dead":
        circuits = (
            one for one in book.van.once(oldest_first).system.circuits if one.fuse.board == fault.subject
        )
        names = [book.name(load) for circuit in circuits for load in circuit.loads]
        return SymptomRow(path_of(fault, folder), title_of(book, fault), _several(names))
    place = book.place_id(fault.subject)
    return SymptomRow(path_of(fault, folder), title_of(book, fault), book.where(place).label if place else "")


def _several(names: list[str]) -> str:
    """A list of names, cut after the second; it does not count, so that one more changes no page."""
    return enumerated([*names[:2], tell("others")] if len(names) > 2 else names)
