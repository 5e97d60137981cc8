"""Text of each label of a van."""

from collections.abc import Iterator
from dataclasses import dataclass, replace

from vandoc.ground.figures import stated
from vandoc.model import equipment as eq
from vandoc.pages.diagram.parts import facts_of
from vandoc.pages.manual.book import Book
from vandoc.pages.manual.fuse_looks import body_of
from vandoc.pages.manual.lists.pieces import colour_of
from vandoc.pages.manual.owner.safety import safety_of
from vandoc.pages.manual.text import enumerated
from vandoc.pages.manual.text import say as manual_say
from vandoc.paper.words import say
from vandoc.physics.network.graph import FuseLink


@dataclass(frozen=True)
class Line:
    """Line of text; `mark` precedes it in bold, such as the number of a fuse."""

    text: str
    mark: str = ""


@dataclass(frozen=True)
class Label:
    """One label, before its size is known.

    Attributes
    ----------
    kind : str
        Key under `labels.kind` in the messages.
    title : str
    lines : tuple of Line
    foot : str
        Name of the van and its revision.
    sign : str or None
        Number of a safety sign.
    flag : bool
        Whether it goes around a cable: its text is printed twice.
    splits : bool
        Whether it may continue on a further label if it has too many lines.
    """

    kind: str
    title: str
    lines: tuple[Line, ...]
    foot: str
    sign: str | None = None
    flag: bool = False
    splits: bool = False


def labels(book: Book, *, draft: bool) -> list[Label]:
    """Return the labels of a van: fuses, switches, batteries, earth points, warnings, both ends of cables."""
    van = book.system.van
    foot = say("label.foot", van=van.name, revision=book.revision_in_print)
    made = [
        *_legends(book),
        *_isolators(book),
        *_batteries(book),
        *_earths(book),
        *_contacts(book),
        *_warnings(book),
        *_cables(book),
    ]
    return [replace(label, foot=say("label.draft", foot=foot) if draft else foot) for label in made]


def _legends(book: Book) -> Iterator[Label]:
    for ident in book.pieces(eq.FuseBoard):
        fuses = [fuse for fuse in book.network.fuses.values() if fuse.owner == ident]
        lines = [_fuse_line(book, fuse) for fuse in sorted(fuses, key=lambda fuse: fuse.position or 0)]
        if lines:
            yield Label("legend", book.name(ident), tuple(lines), "", splits=True)


def _fuse_line(book: Book, fuse: FuseLink) -> Line:
    served = enumerated(book.served(fuse)) or manual_say("fuse.nothing")
    rating = body_of(book, fuse).rating
    return Line(say("label.legend.fuse", rating=rating, served=served), str(fuse.position))


def _isolators(book: Book) -> Iterator[Label]:
    origins = enumerated(fed.by for fed in safety_of(book).last)
    for ident in book.isolators:
        lines = [Line(say("label.isolator.turn"))]
        lines += [Line(say("label.isolator.live", origins=origins))] if origins else []
        yield Label("isolator", book.name(ident), tuple(lines), "", "M021")


def _batteries(book: Book) -> Iterator[Label]:
    for ident, battery in book.leisure.items():
        facts = say(
            "label.battery.facts",
            volts=stated(battery.nominal_v or book.system.van.nominal_v, "V"),
            chemistry=battery.traits.names.owner,
            capacity=stated(battery.capacity_ah, "Ah"),
        )
        lines = [Line(facts)]
        for fuse in book.supply.fuses_of_battery(ident):
            key = "fuse" if fuse in book.supply.main_fuses else "own_fuse"
            lines.append(Line(say(f"label.battery.{key}", fuse=body_of(book, fuse).rating)))
        yield Label("battery", book.name(ident), (*lines, Line(say("label.battery.live"))), "", "W001")
        if "gas" in battery.traits.hazards:
            gas = Line(say("label.gas.do", name=book.name(ident)))
            yield Label("warning", say("label.gas.title"), (gas,), "", "W026")


def _earths(book: Book) -> Iterator[Label]:
    for ident, earth in book.pieces(eq.EarthPoint).items():
        lines = [Line(say("label.earth.keep"))]
        if earth.torque_nm is not None:
            lines.append(Line(say("label.earth.torque", torque=stated(earth.torque_nm, "N·m"))))
        yield Label("earth", book.name(ident), tuple(lines), "", "M002")


def _contacts(book: Book) -> Iterator[Label]:
    """Yield the labels of circuit breakers, load disconnects and changeover switches: rating and setting."""
    for ident, piece in book.system.equipment.items():
        if piece.label_of_kind == "contact":
            facts = facts_of(ident, piece, book.system, book.sizing)
            yield Label("contact", book.name(ident), tuple(Line(fact) for fact in facts), "")


def _warnings(book: Book) -> Iterator[Label]:
    lines = [Line(say("label.mains.hook_up"))] if "mains" in book.traits else []
    lines += [Line(say("label.mains.inverter", name=book.name(ident))) for ident in book.pieces(eq.Inverter)]
    if lines:
        yield Label("warning", say("label.mains.title"), (*lines, Line(say("label.mains.who"))), "", "W012")
    for ident in book.pieces(eq.SolarArray):
        yield Label(
            "warning",
            say("label.solar.title"),
            (Line(say("label.solar.do", name=book.name(ident))),),
            "",
            "W001",
        )
    for _ in book.pieces(eq.FuseBoard):
        yield Label("warning", say("label.rule.title"), (Line(say("label.rule.do")),), "", "M002")


def _cables(book: Book) -> Iterator[Label]:
    for sized in book.sizing.conductors.values():
        cable = sized.conductor
        if cable.vehicle:
            continue
        if cable.signal and not cable.colour:
            size = Line(say("label.cable.signal", size=sized.size))
        else:
            size = Line(say("label.cable.size", size=sized.size, colour=colour_of(book, cable)))
        for here, far in ((cable.start, cable.end), (cable.end, cable.start)):
            lines = (
                Line(say("label.cable.here", terminal=here)),
                Line(say("label.cable.far", terminal=far)),
                size,
            )
            yield Label("cable", cable.id, lines, "", flag=True)
