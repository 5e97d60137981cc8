"""The sheet of what to measure in a van with unknown values, on paper: a box and a line for each."""

from markupsafe import Markup

from vandoc.pages.manual.book import Book
from vandoc.pages.manual.documented import measuring_sheet
from vandoc.pages.manual.page import caution
from vandoc.paper.sheet import print_sheet


def print_measuring(book: Book) -> bytes:
    """Return the sheet as PDF, A4; nothing is unknown in a van without one.

    Raises
    ------
    VandocError
        If the PDF library is missing.
    """
    warning = Markup(caution("live-measuring"))
    return print_sheet(book, "measuring", caution=warning, sheet=measuring_sheet(book))
