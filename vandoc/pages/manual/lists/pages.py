"""The pages of the lists, and the lists as files."""

from collections.abc import Iterator

from vandoc.ground.calc.cutting import usual_colour
from vandoc.ground.data import constant
from vandoc.ground.figures import stated
from vandoc.pages.manual.book import Book
from vandoc.pages.manual.lists.cutting import cut_pieces, cutting, lugs, reels
from vandoc.pages.manual.lists.parts import parts, spares
from vandoc.pages.manual.lists.table import Table
from vandoc.pages.manual.page import Page
from vandoc.pages.manual.text import say, sourced


def pages(book: Book) -> Iterator[Page]:
    """Yield the cutting list, the parts list and the spare fuse list."""
    made = tables(book)
    usual = usual_colour("positive")
    slack, end = constant("cable slack").value, constant("cable end").value
    view: dict[str, object] = {
        "slack": stated(100 * slack, "%"),
        "end": stated(1000 * end, "mm"),
        "step": stated(1000 * constant("cutting step").value, "mm"),
        "source": sourced(usual.source, usual.from_memory),
        "practice": constant("spare blade fuses").source,
        **made,
    }
    for name in ("cutting", "parts", "spares"):
        yield Page(f"electrician/{name}.md", f"lists/{name}", say(f"menu.{name}"), view, searched=False)


def files(book: Book) -> dict[str, str | bytes]:
    """Return the lists as files for a spreadsheet."""
    return {table.path: table.csv() for table in tables(book).values()}


def tables(book: Book) -> dict[str, Table]:
    """Return every list by its key."""
    return book.once(_tables)


def _tables(book: Book) -> dict[str, Table]:
    pieces = cut_pieces(book)
    made = (cutting(pieces), reels(pieces), lugs(pieces), parts(book), spares(book))
    return {table.key: table for table in made}
