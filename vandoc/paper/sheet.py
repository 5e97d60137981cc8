"""A printed sheet that is no label and no book: its head, its foot, and the PDF file made of it."""

from vandoc.pages.manual.book import Book
from vandoc.pages.manual.imprint import last_day
from vandoc.paper.pdf import FAMILY, to_pdf
from vandoc.paper.words import environment, say


def print_sheet(book: Book, name: str, *, draft: bool = False, **view: object) -> bytes:
    """Return a sheet as PDF, A4.

    Parameters
    ----------
    book : Book
    name : str
        Of its template, and of its title among the words of this room.
    draft : bool
        Whether it says that checks of the van fail.
    **view
        What its template shows.

    Raises
    ------
    VandocError
        If the PDF library is missing.
    """
    van, last = book.system.van, last_day(book.system)
    html = (
        environment()
        .get_template(f"{name}.html.j2")
        .render(
            view,
            name=name,
            draft=draft,
            documented=book.system.documented is not None,
            family=FAMILY,
            van=van,
            revision=book.revision_in_print,
            date=last.isoformat() if last else None,
        )
    )
    return to_pdf(html, {}, say(f"document.{name}", van=van.name))
