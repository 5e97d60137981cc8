"""The sheet of what to measure in a van with unknown values, on paper: a box and a line for each."""

from markupsafe import Markup

from vandoc.pages.manual.book import Book
from vandoc.pages.manual.documented import measuring_sheet
from vandoc.pages.manual.page import caution
from vandoc.paper.heads import head_of
from vandoc.paper.pdf import to_pdf
from vandoc.paper.words import environment, say


def print_measuring(book: Book) -> bytes:
    """Return the sheet as PDF, A4; nothing is unknown in a van without one.

    Raises
    ------
    VandocError
        If the PDF library is missing.
    """
    view: dict[str, object] = {
        **head_of(book),
        "caution": Markup(caution("live-measuring")),
        "sheet": measuring_sheet(book),
    }
    html = environment().get_template("measuring.html.j2").render(view)
    return to_pdf(html, {}, say("document.measuring", van=book.system.van.name))
