"""The appearance of a fuse, on its own and in its fuse board."""

from dataclasses import dataclass

from vandoc.ground.calc.fuse import colour, swatch
from vandoc.ground.figures import stated
from vandoc.ground.unknown import cannot_tell, is_unknown
from vandoc.pages.diagram.board import Cell, board_text, fuse_board
from vandoc.pages.manual.book import Book
from vandoc.pages.manual.text import WORDS, Markup, enumerated
from vandoc.physics.network.graph import FuseLink

BLADES = ("C", "E", "F")


@dataclass(frozen=True)
class FuseLook:
    """The appearance of a fuse: rating, colour in words and body type."""

    rating_a: float
    rating: str
    colour: str | None
    swatch: str | None
    looks: str
    standard: str
    proposed: bool


def body_of(book: Book, fuse: FuseLink) -> FuseLook:
    """Return the appearance of a fuse."""
    sized = book.sizing.fuses[fuse.id]
    words = WORDS[f"family.{fuse.family}"]
    known = not (is_unknown(fuse.family) or cannot_tell(sized.rating_a))
    name = colour(fuse.family, sized.rating_a) if known else None
    return FuseLook(
        sized.rating_a,
        stated(sized.rating_a, "A"),
        name,
        swatch(name) if name else None,
        words["looks"],
        words["standard"],
        sized.proposed,
    )


def resets(book: Book, fuse: FuseLink) -> bool:
    """Whether it is a circuit breaker that stays off until someone resets it."""
    return fuse.family == "breaker" and not book.system.equipment[fuse.owner].closes_itself()


def cells(book: Book, board: str) -> list[Cell]:
    """Return the occupied positions of a fuse board for its drawing."""
    found = []
    for fuse in book.network.fuses.values():
        if fuse.owner == board and fuse.position is not None:
            body = body_of(book, fuse)
            served = enumerated(book.served(fuse))
            found.append(Cell(fuse.position, body.rating, body.colour, body.swatch, served))
    return sorted(found, key=lambda cell: cell.position)


def board_drawing(book: Book, fuse: FuseLink, ident: str) -> Markup:
    """Return the drawing of the board with the fuse highlighted; `ident` makes its ids unique on a page."""
    board = book.system.equipment[fuse.owner].positions()
    assert board is not None
    sought = {fuse.position or 1}
    name, shown = book.name(fuse.owner), cells(book, fuse.owner)
    return Markup(fuse_board(ident, name, board.rows, board.columns, shown, sought))


def board_words(book: Book, fuse: FuseLink) -> list[str]:
    """Return the text equivalent of the same drawing."""
    board = book.system.equipment[fuse.owner].positions()
    assert board is not None
    return board_text(board.rows, board.columns, cells(book, fuse.owner), {fuse.position or 1})
