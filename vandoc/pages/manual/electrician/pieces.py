"""The equipment list and a page for each item: data, terminal connections, lights, location."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date

from pydantic import BaseModel

from vandoc.ground.figures import day, stated
from vandoc.model import equipment as eq
from vandoc.model.fitted import OF_WORKSHOP
from vandoc.model.kinds import package_of
from vandoc.pages.manual.book import Book, Picture, PlaceView
from vandoc.pages.manual.electrician.wiring import cable_anchor
from vandoc.pages.manual.owner.fuses import path_of
from vandoc.pages.manual.owner.lights import Light, lights_of
from vandoc.pages.manual.page import Page
from vandoc.pages.manual.text import WORDS, say, upper_first
from vandoc.pages.manual.workshop_pages import safe_name
from vandoc.physics.network.graph import FuseLink, far_end
from vandoc.physics.network.positions import positions

# Fields that are shown elsewhere on the page, or not as data.
NOT_DATA = {
    "stated_terminals",
    "name",
    "place",
    "kind",
    "part",
    "indicators",
    "likelihood",
    "picture",
    "notes",
    "fuses",
    "shunt",
    *OF_WORKSHOP,  # never published
}
ONLY_STATED = ("designation", "termination")  # nothing is missing without them
SIZES = ("stated_ah", "stated_a")  # fields that may hold a proposed value
UNITS = {
    "percent_per_k": "%/K",
    "percent": "%",
    "mm2": "mm²",
    "ohm": "Ω",
    "deg": "°",
    "ah": "Ah",
    "nm": "N·m",
    "a": "A",
    "h": "h",
    "v": "V",
    "w": "W",
}


@dataclass(frozen=True)
class Row:
    """A row of the equipment list."""

    path: str
    name: str
    kind: str
    place: str
    facts: str


@dataclass(frozen=True)
class TerminalConnection:
    """The connections of a terminal."""

    terminal: str
    other: str
    other_path: str | None
    cable: str
    cable_path: str
    size: str
    proposed: bool
    torque: str


@dataclass(frozen=True)
class PiecePage:
    """Contents of the page of an item of equipment."""

    ident: str
    name: str
    kind: str
    where: PlaceView
    facts: list[tuple[str, str]]
    joined: tuple[TerminalConnection, ...]
    bare: tuple[str, ...]
    fuses: tuple[tuple[str, str, str], ...]
    lights: tuple[Light, ...]
    picture: Picture | None
    notes: str | None
    part: str | None
    package: str | None
    positions: tuple[tuple[str, tuple[str, ...], bool], ...] = ()


def piece_path(ident: str) -> str:
    """Return the path of the page of an item of equipment."""
    return f"electrician/piece/{safe_name(ident)}.md"


def pages(book: Book) -> Iterator[Page]:
    """Yield the equipment list, then the page of each item in the order of the file."""
    rows = [_row(book, ident) for ident in book.system.equipment]
    yield Page("electrician/equipment.md", "electrician/equipment", say("menu.equipment"), {"rows": rows})
    for ident in book.system.equipment:
        view = _view(book, ident)
        yield Page(
            piece_path(ident), "electrician/piece", upper_first(view.name), {"piece": view}, listed=False
        )


def _row(book: Book, ident: str) -> Row:
    piece = book.system.equipment[ident]
    facts = "; ".join(f"{term} {value}" for term, value in stated_facts(piece))
    return Row(
        piece_path(ident), book.name(ident), piece.words()["name"], book.where(piece.place).label, facts
    )


def stated_facts(piece: eq.Piece) -> list[tuple[str, str]]:
    """Return the data that the file states for an item of equipment, as terms and values."""
    return [fact for fact in _facts(piece) if fact[1] != say("not_stated")]


def _view(book: Book, ident: str) -> PiecePage:
    piece = book.system.equipment[ident]
    joined = [one for terminal in eq.full_terminals(ident, piece) for one in _at(book, terminal, piece)]
    used = {one.terminal for one in joined}
    bare = [terminal for terminal in eq.full_terminals(ident, piece) if terminal not in used]
    fuses = sorted(
        (fuse for fuse in book.network.fuses.values() if fuse.owner == ident),
        key=lambda fuse: fuse.position or 0,
    )
    return PiecePage(
        ident=ident,
        name=book.name(ident),
        kind=piece.words()["name"],
        where=book.where(piece.place),
        facts=[(upper_first(term), value) for term, value in _facts(piece)],
        joined=tuple(joined),
        bare=tuple(bare),
        fuses=tuple((_fuse_mark(book, fuse), path_of(fuse), fuse_rating(book, fuse)) for fuse in fuses),
        lights=lights_of(ident, piece.indicators),
        picture=book.picture(piece),
        notes=piece.notes,
        part=piece.part,
        package=str(package) if (package := package_of(type(piece))) else None,
        positions=tuple(
            (one.name, tuple(book.name(source) for source in one.sources), one.usual)
            for one in positions(book.system, book.network, ident)
        ),
    )


def _fuse_mark(book: Book, fuse: FuseLink) -> str:
    """The name of a fuse on the page of its board or holder."""
    return book.name(fuse.owner) if fuse.position is None else say("fuse.mark", position=fuse.position)


def fuse_rating(book: Book, fuse: FuseLink) -> str:
    """Return a fuse's rating, marked if it is proposed."""
    sized = book.sizing.fuses[fuse.id]
    rating = stated(sized.rating_a, "A")
    return say("proposed", value=rating) if sized.proposed else rating


def _at(book: Book, terminal: str, piece: eq.Piece) -> Iterator[TerminalConnection]:
    for conductor in book.network.conductors.values():
        if terminal not in (conductor.start, conductor.end):
            continue
        sized = book.sizing.conductors[conductor.id]
        other = far_end(conductor, terminal)
        owner = other.partition(".")[0]
        torque = piece.torque_nm if piece.torque_nm is not None else conductor.torque_nm
        yield TerminalConnection(
            terminal,
            other,
            piece_path(owner) if owner in book.system.equipment else None,
            conductor.id,
            f"electrician/cables.md#{cable_anchor(conductor.id)}",
            sized.size,
            sized.proposed,
            say("not_stated") if torque is None else stated(torque, "N·m"),
        )


def _facts(part: BaseModel) -> Iterator[tuple[str, str]]:
    """Yield each field of an item with its value; omitted fields are marked as not stated."""
    labels = WORDS["field"]
    if isinstance(part, eq.Piece):
        labels = labels | part.words().get("field", {})
    for name in type(part).model_fields:
        if name in NOT_DATA:
            continue
        value = getattr(part, name)
        if value is None and name in ONLY_STATED:
            continue
        if value is None and isinstance(part, eq.Sizable) and name in SIZES and part.proposed:
            yield labels[name], say("proposed", value=_shown(name, part.proposed.value))
        elif isinstance(value, BaseModel):
            yield from _facts(value)
        else:
            yield labels.get(name, name), _shown(name, value)


def _shown(name: str, value: object) -> str:
    if value is None:
        return say("not_stated")
    if isinstance(value, bool):
        return say("yes" if value else "no")
    if isinstance(value, date):
        return day(value)
    if isinstance(value, int | float):
        unit = next((unit for suffix, unit in UNITS.items() if name.endswith(f"_{suffix}")), None)
        return stated(value, unit or "")
    return str(value)
