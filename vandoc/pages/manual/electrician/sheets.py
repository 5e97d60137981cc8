"""The single-line diagram: its overview, and a page for each further sheet."""

from collections.abc import Iterator

from vandoc.ground.figures import day, plain, stated
from vandoc.pages.diagram.render import render
from vandoc.pages.diagram.single_line import Sheet, phone_sheet, sheets
from vandoc.pages.diagram.single_line.finish import finished
from vandoc.pages.diagram.single_line.frame import Titles, drawn
from vandoc.pages.manual.book import Book
from vandoc.pages.manual.electrician.pieces import piece_path
from vandoc.pages.manual.electrician.wiring import load_path
from vandoc.pages.manual.imprint import last_day
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
    phone = phone_sheet(book.van, lambda ident: _href(book, ident))
    others = [(upper_first(sheet.title), _path(sheet)) for sheet in made[1:]]
    *answers, upright = render([*(sheet.dot for sheet in made), phone.dot])
    for number, (sheet, drawing) in enumerate(zip(made, answers, strict=True), 1):
        first = sheet is made[0]
        title = say("menu.diagram") if first else upper_first(sheet.title)
        frame = drawn(sheet.frame, _titles(book, sheet, number, len(made))) if sheet.frame else ()
        svg = finished(drawing, f"sheet-{sheet.ident}", title, say("frame.described"), frame)
        view = {
            "drawing": Markup(svg),
            "framed": sheet.frame is not None,
            "excerpt": sheet.repeats,
            "upright": Markup(finished(upright, "upright", title, say("frame.described"))) if first else "",
            "lines": sheet.text_lines,
            "others": others if first else [],
        }
        yield Page(FIRST if first else _path(sheet), "electrician/diagram", title, view, scripts=("zoom",))


def _titles(book: Book, sheet: Sheet, number: int, count: int) -> Titles:
    van, last = book.system.van, last_day(book.system)
    return Titles(
        workshop=book.system.workshop.name,
        van=f"{van.name}, {plain(stated(van.nominal_v, 'V'))}",
        document=say("menu.diagram") if sheet.ident == "overview" else sheet.title,
        revision=book.revision,
        date=day(last) if last else "",
        drawn_from=book.van_file.path.name,
        number=number,
        count=count,
    )


def _path(sheet: Sheet) -> str:
    return f"electrician/diagram-{sheet.ident}.md"


def _href(book: Book, ident: str) -> str | None:
    """Return the link of an item; all sheets are in the same folder, so it suits every sheet."""
    if ident in book.system.equipment:
        return address(piece_path(ident), FIRST)
    return address(load_path(ident), FIRST) if ident in book.system.loads else None
