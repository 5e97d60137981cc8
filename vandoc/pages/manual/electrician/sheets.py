"""The single-line diagram: its overview, and a page for each further sheet."""

from collections.abc import Iterator

from vandoc.pages.diagram.finish import place_symbols
from vandoc.pages.diagram.render import render
from vandoc.pages.diagram.single_line import Sheet, sheets
from vandoc.pages.manual.book import Book
from vandoc.pages.manual.electrician.pieces import piece_path
from vandoc.pages.manual.electrician.wiring import load_path
from vandoc.pages.manual.page import Page, address
from vandoc.pages.manual.text import Markup, say, upper_first

FIRST = "electrician/diagram.md"


def pages(book: Book) -> Iterator[Page]:
    """Yield the page of each sheet, the overview first.

    Raises
    ------
    VandocError
        If the layout program is not installed.
    """
    made = sheets(book.van, lambda ident: _href(book, ident))
    others = [(sheet.title, _path(sheet)) for sheet in made[1:]]
    for sheet, drawn in zip(made, render([sheet.dot for sheet in made]), strict=True):
        first = sheet is made[0]
        title = say("menu.diagram") if first else upper_first(sheet.title)
        svg = place_symbols(drawn, f"sheet-{sheet.ident}", title, say("frame.described"))
        view = {"drawing": Markup(svg), "lines": sheet.text_lines, "others": others if first else []}
        yield Page(FIRST if first else _path(sheet), "electrician/diagram", title, view)


def _path(sheet: Sheet) -> str:
    return f"electrician/diagram-{sheet.ident}.md"


def _href(book: Book, ident: str) -> str | None:
    """Return the link of an item; all sheets are in the same folder, so it suits every sheet."""
    if ident in book.system.equipment:
        return address(piece_path(ident), FIRST)
    return address(load_path(ident), FIRST) if ident in book.system.loads else None
