"""Wording of fault-finding questions and answers, for the owner and for the electrician."""

import re
from collections.abc import Iterator
from dataclasses import dataclass

from vandoc.analysis.diagnosis.gates import GATES
from vandoc.analysis.diagnosis.problem import Question
from vandoc.analysis.diagnosis.trial import Trial
from vandoc.ground.data import constant
from vandoc.ground.figures import between, quantity, stated
from vandoc.model import equipment as eq
from vandoc.pages.diagram.light import light, light_text
from vandoc.pages.manual.book import Book
from vandoc.pages.manual.fuse_looks import board_drawing, board_words, body_of
from vandoc.pages.manual.text import TROUBLE, Markup, enumerated, tell, upper_first
from vandoc.pages.manual.trouble.gate_text import gate_answer
from vandoc.pages.manual.trouble.naming import key, part_name, place_of, terminal_name
from vandoc.physics.network.graph import Edge, FuseLink

RESISTANCE = ("continuity", "open-contact")
ALONG_EDGE = ("drop", "joint-drop", *RESISTANCE)
OBSERVED = ("works", "light")
SEPARATOR = ", "
MEASURED = ("volts", "loss", "back-volts", *ALONG_EDGE)


@dataclass(frozen=True)
class Answer:
    """An answer in words; for an indicator light, with its drawing."""

    key: str
    words: str
    drawing: Markup | None = None


@dataclass(frozen=True)
class LocationView:
    """A location to check: a drawing in the page's gallery, its view box, and its text equivalent."""

    ident: str
    box: str
    words: str


class PageDrawings:
    """The drawings of one page, each stored once even if several steps show it."""

    def __init__(self, book: Book) -> None:
        self.book = book
        self.drawings: dict[str, Markup] = {}

    def plan(self, place: str) -> LocationView:
        """Return the plan of the van with a location marked."""
        where = self.book.where(place)
        return self._look(f"plan-{place}", where.plan, " ".join(where.plan_text))

    def board(self, fuse: FuseLink) -> LocationView:
        """Return a fuse board with a fuse marked."""
        ident = f"board-{fuse.id}"
        return self._look(ident, board_drawing(self.book, fuse, ident), board_words(self.book, fuse)[0])

    def _look(self, ident: str, drawing: Markup, words: str) -> LocationView:
        self.drawings[ident] = drawing
        root = re.search(r'\bid="([^"]*)".*?\bviewBox="([^"]*)"', drawing)
        assert root is not None
        return LocationView(root[1], root[2], words)


@dataclass(frozen=True)
class QuestionView:
    """A question in words.

    Attributes
    ----------
    kind : str
    title : str
        The question itself.
    before : tuple of str
        Instructions to follow first, one action each.
    reading : str
        The meter reading without a fault; empty if no reading is taken.
    answers : tuple of Answer
    looks : tuple of LocationView
    place : str
        Location, in the owner's terms.
    access : str
        Access to the location.
    at : str
        The ids of what is looked at, or of the terminals that the probes touch.
    state : tuple of (str, str)
        The operating state unless it is plain use, by name of its attribute: `during`, `on`, `lamp`.
    """

    kind: str
    title: str
    before: tuple[str, ...]
    reading: str
    answers: tuple[Answer, ...]
    looks: tuple[LocationView, ...] = ()
    place: str = ""
    access: str = ""
    at: str = ""
    state: tuple[tuple[str, str], ...] = ()


def question_view(
    book: Book,
    question: Question,
    number: int,
    gallery: PageDrawings | None = None,
    during: bool = False,
    blamed: str = "",
) -> QuestionView:
    """Return a question in words: the owner's with a gallery, the electrician's without.

    Parameters
    ----------
    book : Book
    question : Question
    number : int
        Number of the step; it makes the ids of light drawings unique.
    gallery : PageDrawings, optional
    during : bool
        Whether to state the operating state of the van during the check.
    blamed : str
        The charging source that the symptom is about: nobody is told to charge from it.
    """
    if question.kind == GATES:
        return _gates_view(book, question)
    if question.kind in MEASURED:
        known = book.once(_known)
        if question not in known:
            known[question] = _measured(book, question)
        return known[question]
    subject = question.subjects[0]
    place = place_of(book, subject)
    where = book.where(place) if place else None
    fuse = book.network.fuses.get(subject) if question.kind in ("fuse-look", "fuse-swap") else None
    values = {
        "name": book.fuse_name(fuse) if fuse else part_name(book, subject),
        "where": where.label if where else "",
        "served": enumerated(book.served(fuse)) if fuse else "",
        "body": _body(book, subject) if fuse else "",
        "charging": charging(book, blamed) if question.kind == "charge" else "",
    }
    words = f"{question.kind}-tracing" if fuse and gallery is None else question.kind
    before = [line.format_map(values) for line in TROUBLE["before"].get(words, ())]
    if question.kind == "light" and question.on:
        before.append(_switched_on(book, question))
    if during and question.kind in OBSERVED:
        before += _meanwhile(book, question.during)
    return QuestionView(
        question.kind,
        tell(f"ask.{words}", **values),
        tuple(before),
        "",
        tuple(_answers(book, question, number)),
        tuple(_looks(question, fuse, place, gallery)) if gallery else (),
        where.label if where else "",
        (where.access or "") if where and question.kind not in ("works", "charge") else "",
        SEPARATOR.join(question.subjects),
        _state_ids(question),
    )


def _gates_view(book: Book, question: Question) -> QuestionView:
    answers = tuple(Answer(answer, gate_answer(book, question, answer)) for answer in question.answers)
    return QuestionView(GATES, tell("ask.gates"), tuple(TROUBLE["before.gates"]), "", answers)


def _sources(book: Book) -> set[str]:
    """The charging sources of the leisure batteries."""
    sources: set[str] = {charger.source for charger in book.pieces(eq.Charger).values()}
    if book.split_charges:
        sources.add("alternator")
    return sources


def charging(book: Book, blamed: str = "") -> str:
    """Return the way to charge in this van, but not from the blamed source, as an instruction."""
    sources = _sources(book) - {blamed}
    ways = [words for source, words in TROUBLE["charging"].items() if source in sources]
    if len(ways) > 1:
        return upper_first(tell("charging.one-of", ways=", ".join(ways)))
    return upper_first("".join(ways) or tell("charging.none"))


def _meanwhile(book: Book, during: str) -> Iterator[str]:
    """Instructions for the operating state during a check, and charging sources to turn off."""
    words = TROUBLE["meanwhile"].get(key(during), {})
    yield from words.get("do", ())
    quiet = [TROUBLE[f"quiet.{source}"] for source in words.get("quiet", ()) if source in _sources(book)]
    if quiet:
        yield tell("quiet.only" if words.get("do") else "quiet.all", quiet=", ".join(quiet))


def _body(book: Book, fuse: str) -> str:
    body = body_of(book, book.network.fuses[fuse])
    return tell("body", rating=body.rating, looks=body.colour or body.looks)


def _answers(book: Book, question: Question, number: int) -> Iterator[Answer]:
    things = book.system.things
    for answer in question.answers:
        if question.kind == "light" and answer.startswith("light "):
            one = things[question.subjects[0]].indicators[int(answer.removeprefix("light ")) - 1]
            drawing = light(f"seen-{number}-{answer[6:]}", one.colour, one.pattern, one.shows or "")
            words = ": ".join(light_text(one.colour, one.pattern, one.shows or ""))
            yield Answer(answer, words, Markup(drawing))
        else:
            yield Answer(answer, tell(f"answer.{question.kind}.{key(answer)}"))


def _looks(
    question: Question, fuse: FuseLink | None, place: str | None, gallery: PageDrawings
) -> Iterator[LocationView]:
    if question.kind in ("works", "charge") or place is None:
        return
    if fuse is not None and fuse.position is not None:
        yield gallery.board(fuse)
    yield gallery.plan(place)


def _known(_book: Book) -> dict[Question, QuestionView]:
    """Questions already worded, cached because the same reading is taken in many trees."""
    return {}


def _measured(book: Book, question: Question) -> QuestionView:
    kind, subjects = question.kind, question.subjects
    edge = book.network.edge(subjects[0]) if kind in ALONG_EDGE else None
    names = [terminal_name(book, s) if edge is None else part_name(book, s) for s in subjects]
    values = {
        "first": names[0],
        "second": names[-1] if len(names) > 1 else _reference(book),
        "start": terminal_name(book, edge.start) if edge else "",
        "end": terminal_name(book, edge.end) if edge else "",
        "spot": terminal_name(book, subjects[-1]),
        "battery": book.name(next(iter(book.leisure))),
        "limit": stated(constant("continuity").value, "Ω"),
    }
    place = place_of(book, edge.start if edge and kind != "joint-drop" else subjects[-1])
    before = [tell(f"before.{kind}") if kind in RESISTANCE else _state(book, question)]
    running = kind not in RESISTANCE and question.during == Trial.DRIVING.doing.value
    if running and place and book.system.places[place].engine_space:
        before.append(tell("during.at_engine"))
    return QuestionView(
        kind,
        tell(f"ask.{kind}", **values),
        tuple(before),
        "" if question.expected_v is None else tell("reading", volts=_volts(question.expected_v)),
        tuple(_bands(question, values["limit"])),
        (),
        book.where(place).label if place else "",
        "",
        SEPARATOR.join(_probes(book, question, edge)),
        _state_ids(question),
    )


def _probes(book: Book, question: Question, edge: Edge | None) -> tuple[str, str]:
    """The two terminals that the probes touch; at a joint, its terminal and the other end of the cable."""
    if edge is not None:
        spot = question.subjects[-1]
        return (edge.end, edge.start) if spot == edge.end else (edge.start, edge.end)
    first, *second = question.subjects
    return first, second[0] if second else f"{next(iter(book.leisure))}.-"


def _state_ids(question: Question) -> tuple[tuple[str, str], ...]:
    """The operating state of the van by ids."""
    lamps = [f"{device} {stated(watts, 'W')}" for device, watts in question.lamps]
    during = "" if question.during == Trial.USE.doing.value else question.during
    state = {"during": during, "on": SEPARATOR.join(question.on), "lamp": SEPARATOR.join(lamps)}
    return tuple((name, value) for name, value in state.items() if value)


def _state(book: Book, question: Question) -> str:
    """What is on while a voltage is measured: a load by its name, or a proof lamp in its place."""
    said = []
    if question.on:
        said.append(_switched_on(book, question))
    elif not question.lamps:
        said.append(tell(f"during.{key(question.during)}"))
    nominal = {one.owner: one.nominal_v for one in book.network.consumers}
    for device, watts in question.lamps:
        words = "during.lamp" if device in book.system.loads else "during.lamp-before"
        volts = stated(nominal[device], "V")
        said.append(tell(words, name=book.name(device), lamp=stated(watts, "W"), volts=volts))
    return " ".join(said)


def _switched_on(book: Book, question: Question) -> str:
    return tell("during.named", names=enumerated([book.name(load) for load in question.on]))


def _volts(volts: float) -> str:
    """A voltage as read on a meter; whole millivolts, since less is numerical noise."""
    return quantity(round(volts, 3) if abs(volts) < 1 else volts, "V", places=2)


def _reference(book: Book) -> str:
    return terminal_name(book, f"{next(iter(book.leisure))}.-")


def _bands(question: Question, ohms: str) -> Iterator[Answer]:
    if question.kind in RESISTANCE:
        for answer in question.answers:
            yield Answer(answer, tell(f"answer.{question.kind}.{key(answer)}", limit=ohms))
        return
    limits = [_volts(volts) for volts in question.limits_v]
    for number, answer in enumerate(question.answers):
        if number == 0:
            words = tell("band.below", high=limits[0])
        elif number == len(limits):
            words = tell("band.from", low=limits[-1])
        else:
            words = between(limits[number - 1], limits[number])
        yield Answer(answer, tell("band.named", words=words, name=tell(f"answer.reading.{key(answer)}")))
