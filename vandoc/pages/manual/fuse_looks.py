"""A fuse as it looks, by itself and in its board."""

from dataclasses import dataclass

from vandoc.ground.calc.fuse import colour, swatch
from vandoc.ground.figures import stated
from vandoc.model import equipment as eq
from vandoc.pages.diagram.board import Cell, board_text, fuse_board
from vandoc.pages.manual.book import Book
from vandoc.pages.manual.text import WORDS, Markup, say
from vandoc.physics.network.graph import FuseLink

BLADES = ("C", "E", "F")


@dataclass(frozen=True)
class FuseLook:
    """A fuse as it looks: rating, colour in words, and what kind of thing it is."""

    rating_a: float
    rating: str
    colour: str | None
    swatch: str | None
    looks: str
    standard: str
    proposed: bool


def body_of(book: Book, fuse: FuseLink) -> FuseLook:
    """Return how a fuse looks."""
    sized = book.sizing.fuses[fuse.id]
    words = WORDS[f"family.{fuse.family}"]
    name = colour(fuse.family, sized.rating_a)
    return FuseLook(
        sized.rating_a,
        stated(sized.rating_a, "A"),
        name,
        swatch(name) if name else None,
        words["looks"],
        words["standard"],
        sized.proposed,
    )


def cells(book: Book, board: str) -> list[Cell]:
    """Return the positions in use of a board, as its drawing shows them."""
    found = []
    for fuse in book.network.fuses.values():
        if fuse.owner == board and fuse.position is not None:
            body = body_of(book, fuse)
            served = say("and").join(book.served(fuse))
            found.append(Cell(fuse.position, body.rating, body.colour, body.swatch, served))
    return sorted(found, key=lambda cell: cell.position)


def board_drawing(book: Book, fuse: FuseLink, ident: str) -> Markup:
    """Return the board with the fuse filled; `ident` keeps it apart from other drawings of a page."""
    board = book.pieces(eq.FuseBoard)[fuse.owner]
    sought = {fuse.position or 1}
    name, shown = book.name(fuse.owner), cells(book, fuse.owner)
    return Markup(fuse_board(ident, name, board.rows, board.columns, shown, sought))


def board_words(book: Book, fuse: FuseLink) -> list[str]:
    """Return the words of the same drawing."""
    board = book.pieces(eq.FuseBoard)[fuse.owner]
    return board_text(board.rows, board.columns, cells(book, fuse.owner), {fuse.position or 1})
