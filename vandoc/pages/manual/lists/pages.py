"""The pages of the lists, and the lists as files."""

from collections.abc import Iterator

from vandoc.ground.calc.cutting import usual_colour
from vandoc.ground.data import constant
from vandoc.ground.figures import stated
from vandoc.pages.manual.book import Book
from vandoc.pages.manual.lists.cutting import cutting, laying, lugs, reels, studs
from vandoc.pages.manual.lists.lengths import Lengths
from vandoc.pages.manual.lists.parts import parts, purchases, spares
from vandoc.pages.manual.lists.pieces import cut_pieces
from vandoc.pages.manual.lists.table import Table
from vandoc.pages.manual.page import Page
from vandoc.pages.manual.text import say, sourced


def pages(book: Book) -> Iterator[Page]:
    """Yield the cutting list, the parts list and the spare fuse list."""
    made = tables(book)
    usual = usual_colour("positive")
    lengths = _lengths(book)
    slack, end = constant("cable slack").value, constant("cable end").value
    view: dict[str, object] = {
        "slack": stated(100 * slack, "%"),
        "end": lengths.short(end),
        "step": lengths.step(constant("cutting step").value),
        "source": sourced(usual.source, usual.from_memory),
        "practice": constant("spare blade fuses").source,
        **made,
    }
    for name in ("cutting", "parts", "spares"):
        yield Page(f"electrician/{name}.md", f"lists/{name}", say(f"menu.{name}"), view, searched=False)


def files(book: Book) -> dict[str, str | bytes]:
    """Return the lists that the manual offers as files for a spreadsheet."""
    return {table.path: table.csv() for table in tables(book).values()}


def bench_tables(book: Book) -> dict[str, Table]:
    """Return every list for the workshop alone, with what it bought."""
    pieces, lengths = cut_pieces(book), _lengths(book)
    return {**tables(book), "parts": purchases(book, pieces, lengths)}


def bench_files(book: Book) -> dict[str, bytes]:
    """Return the lists for the workshop alone as files for a spreadsheet; never part of a manual."""
    return {table.path: table.csv() for table in bench_tables(book).values()}


def tables(book: Book) -> dict[str, Table]:
    """Return every list of the manual by its key."""
    return book.once(_tables)


def _tables(book: Book) -> dict[str, Table]:
    pieces, lengths = cut_pieces(book), _lengths(book)
    made = (
        *(cutting(pieces, lengths), laying(book, pieces, lengths), reels(pieces, lengths), lugs(pieces)),
        *(studs(book, pieces), parts(book, pieces, lengths), spares(book)),
    )
    return {table.key: table for table in made}


def _lengths(book: Book) -> Lengths:
    return Lengths("ft" if book.system.house.units == "US" else "m")
