"""Text of each label of a van."""

from collections.abc import Iterator
from dataclasses import replace

from vandoc.ground.figures import stated
from vandoc.model import equipment as eq
from vandoc.model.designations import of_conductor
from vandoc.pages.diagram.parts import facts_of
from vandoc.pages.manual.book import Book
from vandoc.pages.manual.fuse_looks import body_of, resets
from vandoc.pages.manual.lists.pieces import colour_of
from vandoc.pages.manual.owner.safety import safety_of
from vandoc.pages.manual.text import enumerated
from vandoc.pages.manual.text import say as manual_say
from vandoc.paper.labels.label import Label, Line
from vandoc.paper.labels.validity import valid_since
from vandoc.paper.words import say
from vandoc.physics.network.graph import Conductor, FuseLink, owner_of


def labels(book: Book, *, draft: bool, since: str | None = None) -> list[Label]:
    """Return the labels of a van: one for each item that has a place, warnings, and both ends of cables.

    Each names the revision since which it says the same, so that a label is not replaced for its foot alone.

    Parameters
    ----------
    book : Book
    draft : bool
    since : str, optional
        Mark or number of an archived revision; only labels that it did not have.

    Raises
    ------
    VandocError
        If there is no such revision, or it can no longer be read.
    """
    since_when = valid_since(book, _all, since)
    made = []
    for label, revision in since_when:
        foot = say("label.foot", van=book.system.van.name, revision=revision)
        if draft or book.system.documented is not None:
            foot = say("label.draft" if draft else "label.documented", foot=foot)
        made.append(replace(label, foot=foot))
    return made


def _all(book: Book) -> list[Label]:
    return [
        *_legends(book),
        *_fuses(book),
        *_isolators(book),
        *_batteries(book),
        *_earths(book),
        *_contacts(book),
        *_items(book),
        *_loads(book),
        *_warnings(book),
        *_cables(book),
    ]


def _title(book: Book, ident: str) -> str:
    """The owner's name of an item, with its designation."""
    thing = book.system.equipment.get(ident) or book.system.loads.get(ident)
    found = thing.designation if thing else None
    name = book.name(ident)
    return say("label.designated", name=name, designation=found) if found else name


def _legends(book: Book) -> Iterator[Label]:
    holders = (ident for ident, piece in book.system.equipment.items() if piece.positions() is not None)
    for ident in holders:
        fuses = [fuse for fuse in book.network.fuses.values() if fuse.owner == ident]
        lines = [_fuse_line(book, fuse) for fuse in sorted(fuses, key=lambda fuse: fuse.position or 0)]
        if lines:
            yield Label("legend", _title(book, ident), tuple(lines), "", splits=True)


def _fuse_line(book: Book, fuse: FuseLink) -> Line:
    served = enumerated(book.served(fuse)) or manual_say("fuse.nothing")
    rating = body_of(book, fuse).rating
    return Line(say("label.legend.fuse", rating=rating, served=served), str(fuse.position))


def _fuses(book: Book) -> Iterator[Label]:
    """Yield the label of each fuse in its own holder: its rating, and what stops without it."""
    for fuse in book.network.fuses.values():
        if fuse.position is None and fuse.family != "breaker":
            lines = [Line(say("label.fuse.rating", rating=body_of(book, fuse).rating))]
            served = enumerated(book.served(fuse))
            lines += [Line(say("label.fuse.served", served=served))] if served else []
            yield Label("fuse", _title(book, fuse.owner), tuple(lines), "")


def _isolators(book: Book) -> Iterator[Label]:
    origins = enumerated(fed.by for fed in safety_of(book).last)
    for ident in book.isolators:
        lines = [Line(say("label.isolator.turn"))]
        lines += [Line(say("label.isolator.live", origins=origins))] if origins else []
        yield Label("isolator", _title(book, ident), tuple(lines), "", "M021")


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
        yield Label("battery", _title(book, ident), (*lines, Line(say("label.battery.live"))), "", "W001")
        if "gas" in battery.traits.hazards:
            gas = Line(say("label.gas.do", name=book.name(ident)))
            yield Label("warning", say("label.gas.title"), (gas,), "", "W026")


def _earths(book: Book) -> Iterator[Label]:
    for ident, earth in book.pieces(eq.EarthPoint).items():
        lines = [Line(say("label.earth.keep"))]
        if earth.torque_nm is not None:
            lines.append(Line(say("label.earth.torque", torque=stated(earth.torque_nm, "N·m"))))
        yield Label("earth", _title(book, ident), tuple(lines), "", "M002")


def _contacts(book: Book) -> Iterator[Label]:
    """Yield the labels of circuit breakers, load disconnects and changeover switches: rating and setting."""
    for ident, piece in book.system.equipment.items():
        if piece.label_of_kind == "contact":
            facts = facts_of(ident, piece, book.system, book.sizing)
            fuse = book.network.fuses.get(ident)
            if fuse is not None and resets(book, fuse):
                facts = [*facts, say("label.breaker.tripped"), say("label.breaker.reset")]
            yield Label("contact", _title(book, ident), tuple(Line(fact) for fact in facts), "")


def _items(book: Book) -> Iterator[Label]:
    """Yield the labels of the other equipment that the workshop fits: what it is, and its figures."""
    own = {fuse.owner for fuse in book.network.fuses.values()} | set(book.isolators)
    for ident, piece in book.system.equipment.items():
        if piece.label_of_kind is not None or ident in own or piece.of_vehicle():
            continue
        kind = piece.words()["name"]
        facts = facts_of(ident, piece, book.system, book.sizing)
        words = [*([kind] if kind != book.name(ident) else []), *(fact for fact in facts if fact)]
        yield Label("item", _title(book, ident), tuple(Line(text) for text in words), "")


def _loads(book: Book) -> Iterator[Label]:
    """Yield the label of each device: the fuse that feeds it."""
    fed = {load: circuit.fuse for circuit in book.system.circuits for load in circuit.loads}
    for ident in book.system.loads:
        lines = []
        if (fuse := fed.get(ident)) is not None:
            position = manual_say("fuse.short_on", position=fuse.position, board=book.name(fuse.board))
            lines.append(Line(say("label.item.fuse", fuse=position)))
        yield Label("item", _title(book, ident), tuple(lines), "")


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
        designation = of_conductor(book.system, cable.trail, cable.role)
        title = say("label.cable.titled", id=cable.id, designation=designation) if designation else cable.id
        for here, far in ((cable.start, cable.end), (cable.end, cable.start)):
            lines = (
                Line(say("label.cable.here", terminal=here)),
                Line(say("label.cable.far", terminal=far)),
                Line(_purpose(book, cable)),
                size,
            )
            yield Label("cable", title, lines, "", flag=True)


def _purpose(book: Book, cable: Conductor) -> str:
    """What a cable is for, in the owner's words: the devices of its circuit, or its two ends."""
    if cable.circuit is not None:
        circuit = next(one for one in book.system.circuits if one.id == cable.circuit)
        return enumerated(book.name(load) for load in circuit.loads)
    start, end = (book.name(owner_of(end)) for end in (cable.start, cable.end))
    return say("label.cable.between", start=start, end=end)
