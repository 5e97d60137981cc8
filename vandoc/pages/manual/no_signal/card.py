"""The card: a self-contained page, opened by the QR code on the van; it prints on one folded sheet."""

from dataclasses import dataclass

from vandoc.ground.figures import day
from vandoc.model import equipment as eq
from vandoc.pages.diagram.board import fuse_board
from vandoc.pages.diagram.light import light_text
from vandoc.pages.manual.book import Book, PlaceView
from vandoc.pages.manual.documented import documentation
from vandoc.pages.manual.fuse_looks import FuseLook, body_of, cells, resets
from vandoc.pages.manual.imprint import last_day, spoken_note
from vandoc.pages.manual.no_signal.self_contained import single_page
from vandoc.pages.manual.owner.fuses import path_of
from vandoc.pages.manual.owner.safety import safety_of
from vandoc.pages.manual.owner.start import device_choices, store
from vandoc.pages.manual.page import built, caution
from vandoc.pages.manual.since import since
from vandoc.pages.manual.text import Markup, say

PATH = "card.html"
SCRIPTS = ("saved", "revision")


@dataclass(frozen=True)
class Row:
    """A device that can stop working, and its fuse."""

    name: str
    words: tuple[str, ...]
    path: str | None
    mark: str
    body: FuseLook | None
    board: str


@dataclass(frozen=True)
class Board:
    """A fuse board: its location and its drawing."""

    name: str
    where: PlaceView
    drawing: Markup


@dataclass(frozen=True)
class CardLight:
    """An indicator light or display message in words."""

    shown: str
    where: str
    meaning: str
    do: str
    urgent: bool


def file(book: Book) -> dict[str, str | bytes]:
    """Return the card by its path in the manual."""
    page = single_page(
        "card",
        SCRIPTS,
        name=book.system.van.name,
        contact=book.contact,
        number=say("emergency.number"),
        safety=safety_of(book),
        traits=book.traits,
        stores=[store(book, ident) for ident in book.leisure],
        rows=rows(book),
        devices=device_choices(book),
        boards=_boards(book),
        lights=_lights(book),
        plan=_plan(book),
        documented=documentation(book),
        breakers=any(resets(book, fuse) for fuse in book.network.fuses.values()),
        version=version(book),
        revision=book.revision,
        mark=book.mark,
        since=since(book),
        invented=book.system.van.invented,
        spoken=spoken_note(),
        caution=caution,
        href=built,
    )
    return {PATH: page}


def rows(book: Book) -> list[Row]:
    """Return every load with its fuse, by name."""
    found = []
    for ident, load in book.system.loads.items():
        fuses = book.supply.fuses_towards(f"{ident}.+")
        name = book.name(ident)
        words = tuple(word for word in load.words if word.casefold() != name.casefold())
        if not fuses:
            found.append(Row(name, words, None, say("fuse.none"), None, ""))
            continue
        fuse = fuses[0]
        mark = say("fuse.single") if fuse.position is None else say("fuse.mark", position=fuse.position)
        found.append(Row(name, words, path_of(fuse), mark, body_of(book, fuse), book.name(fuse.owner)))
    return sorted(found, key=lambda row: (row.name.casefold(), row.mark))


def version(book: Book) -> str:
    """Return the version of a saved copy: the date of the latest entry, else the revision."""
    last = last_day(book.system)
    return day(last) if last else say("version.revision", revision=book.system.van.revision)


def _boards(book: Book) -> list[Board]:
    return [
        Board(
            book.name(ident),
            book.where(board.place),
            Markup(
                fuse_board(
                    f"card-{ident}", book.name(ident), board.rows, board.columns, cells(book, ident), ()
                )
            ),
        )
        for ident, board in book.pieces(eq.FuseBoard).items()
    ]


def _lights(book: Book) -> list[tuple[str, str, list[CardLight]]]:
    things = book.system.things
    return [
        (
            book.name(ident),
            book.where(thing.place).label,
            [
                CardLight(
                    ": ".join(light_text(one.colour, one.pattern, one.shows or "")),
                    one.where,
                    one.meaning,
                    one.do,
                    one.urgency == "now",
                )
                for one in sorted(
                    thing.indicators, key=lambda one: ("now", "soon", "none").index(one.urgency)
                )
            ],
        )
        for ident, thing in things.items()
        if thing.indicators
    ]


def _plan(book: Book) -> Markup:
    """Return the plan of the van with the locations that the card mentions."""
    pieces = [
        *book.isolators.values(),
        *book.pieces(eq.FuseBoard).values(),
        *book.leisure.values(),
    ]
    return book.plan("card-plan", {piece.place for piece in pieces}, labels=False)
