"""A van that is documented as it was found: what must stay off, and what nobody knows."""

from dataclasses import dataclass
from datetime import date
from itertools import count

from vandoc.ground.figures import day
from vandoc.judgement.checks.rule import rules
from vandoc.judgement.checks.rules.unknown.value_unknown import how_to_measure, what_of
from vandoc.model.unknowns import Unknown
from vandoc.model.wiring import Circuit
from vandoc.pages.manual.book import Book
from vandoc.pages.manual.text import say, upper_first


@dataclass(frozen=True)
class KnownFail:
    """A failed check that a person acknowledged, with what must stay off until it is put right."""

    keep_off: str
    title: str
    message: str
    by: str
    day: str


@dataclass(frozen=True)
class Documentation:
    """Who documented the van as it was found, and when; its fails, and the number of unknown values."""

    by: str
    day: str
    fails: tuple[KnownFail, ...]
    unknown: int


@dataclass(frozen=True)
class UnknownRow:
    """A value to be measured: its item, of a cable its ends too, and what is unknown of it."""

    number: int
    item: str
    ends: str
    what: str


@dataclass(frozen=True)
class MeasuringSheet:
    """What to measure, by location, so that each is opened once; how to find out each quantity."""

    places: tuple[tuple[str, tuple[UnknownRow, ...]], ...]
    methods: tuple[tuple[str, str], ...]
    count: int


def documentation(book: Book) -> Documentation | None:
    """Return what a manual says of a van that is documented as it was found; None for any other."""
    stated = book.system.documented
    if stated is None:
        return None
    fails = [
        KnownFail(
            upper_first(found.acknowledged.keep_off),
            rules()[found.rule].title,
            found.message,
            found.acknowledged.by,
            day(date.fromisoformat(found.acknowledged.date)),
        )
        for found in book.findings
        if found.acknowledged is not None
    ]
    return Documentation(stated.by, day(stated.date), tuple(fails), len(book.van.unknown))


def measuring_sheet(book: Book) -> MeasuringSheet:
    """Return the sheet of what to measure in a van with unknown values."""
    found: dict[str, list[Unknown]] = {}
    for one in book.van.unknown:
        found.setdefault(_where(book, one), []).append(one)
    numbers = count(1)
    places = tuple(
        (upper_first(book.where(where).label), tuple(_row(book, one, next(numbers)) for one in found[where]))
        for where in sorted(found, key=list(book.system.places).index)
    )
    methods = ((upper_first(what_of(one)), upper_first(how_to_measure(one))) for one in book.van.unknown)
    return MeasuringSheet(
        places,
        tuple(dict.fromkeys(methods)),
        len(book.van.unknown),
    )


def _row(book: Book, one: Unknown, number: int) -> UnknownRow:
    thing, circuit = book.system.things.get(one.subject), _circuit_of(book, one)
    ends = book.edge_name(one.subject) if one.subject in book.network.conductors else ""
    name = say("measure.defaults") if one.trail[0] == "cable_defaults" else one.subject
    if circuit is not None:
        name, part = say("measure.circuit", name=circuit.name or circuit.id), str(one.trail[2])
        ends = say(f"measure.part.{part}") if part in ("fuse", "cable", "return") else ""
    elif thing is not None:
        name = book.name(one.subject)
    return UnknownRow(number, upper_first(name), ends, what_of(one))


def _circuit_of(book: Book, one: Unknown) -> Circuit | None:
    return book.system.circuits[int(one.trail[1])] if one.trail[0] == "circuits" else None


def _where(book: Book, one: Unknown) -> str:
    """Return the location in which to begin: of an item its own, of a cable that of its first end."""
    circuit, thing = _circuit_of(book, one), book.system.things.get(one.subject)
    if circuit is not None:
        return book.system.equipment[circuit.fuse.board].place
    if thing is not None:
        return thing.place
    cable = book.network.conductors.get(one.subject)
    return cable.places[0] if cable is not None and cable.places else next(iter(book.system.places))
