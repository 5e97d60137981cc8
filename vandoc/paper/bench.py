"""The lists for the bench, on paper: with boxes to tick, and with what only the workshop may know."""

from dataclasses import dataclass

from vandoc.pages.manual import lists
from vandoc.pages.manual.book import Book
from vandoc.paper.sheet import print_sheet
from vandoc.paper.words import say

NARROW = frozenset({"length_unit", "label", "part_sheet"})  # paper has no room for what a file has
TICKED = ("cutting", "laying")


@dataclass(frozen=True)
class Sheet:
    """A list as it is printed; `ticked` if each row begins with a box."""

    title: str
    headings: tuple[str, ...]
    rows: list[list[str]]
    ticked: bool


def print_bench(book: Book, *, draft: bool) -> bytes:
    """Return the lists for the bench as PDF, A4 landscape.

    Raises
    ------
    VandocError
        If the PDF library is missing.
    """
    sheets = [_sheet(key, table) for key, table in lists.bench_tables(book).items() if table.rows]
    return print_sheet(book, "bench", draft=draft, sheets=sheets)


def _sheet(key: str, table: lists.Table) -> Sheet:
    shown = table.showing(*(table.hidden - NARROW)).without(*NARROW, "done")
    return Sheet(say(f"bench.{key}"), shown.headings, shown.shown, key in TICKED)
