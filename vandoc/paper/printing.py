"""All printed files of one van, by name."""

from collections.abc import Callable, Collection
from dataclasses import dataclass

from vandoc.ground.errors import VandocError
from vandoc.pages.manual import lists
from vandoc.pages.manual.book import Book
from vandoc.pages.manual.pages import Pages
from vandoc.paper.bench import print_bench
from vandoc.paper.books import BOOKS, print_book
from vandoc.paper.labels import print_labels, sheets
from vandoc.paper.measuring import print_measuring
from vandoc.paper.words import say

KINDS = ("labels", *BOOKS, "lists", "bench", "measuring")


@dataclass(frozen=True)
class PrintedFiles:
    """Files by name, and notes for the person who prints them, one on each line."""

    files: dict[str, bytes]
    notices: tuple[str, ...]


@dataclass(frozen=True)
class LabelOptions:
    """Which labels are printed, and where.

    Attributes
    ----------
    sheet : str
        Name of the label sheet or tape.
    since : str or None
        Mark or number of an archived revision; only labels that it did not have.
    first : int
        Number of the first free label on the first sheet, from 1.
    """

    sheet: str = "3x8"
    since: str | None = None
    first: int = 1


def print_van(
    book: Book, pages: Callable[[], Pages], wanted: Collection[str], options: LabelOptions, *, draft: bool
) -> PrintedFiles:
    """Return the printed files of a van.

    Parameters
    ----------
    book : Book
        The checked van.
    pages : callable
        Builds the manual, which only the books need.
    wanted : collection of str
        Members of `KINDS`.
    options : LabelOptions
    draft : bool
        Whether everything must state that checks fail.

    Raises
    ------
    VandocError
        If the sheet or the revision does not exist, or the PDF library is missing.
    """
    if options.sheet not in sheets():
        raise VandocError(say("no_sheet", name=options.sheet, known=", ".join(sheets())))
    files: dict[str, bytes] = {}
    notices: tuple[str, ...] = ()
    if "labels" in wanted:
        sheet, since, first = sheets()[options.sheet], options.since, options.first
        made = print_labels(book, sheet, draft=draft, since=since, first=first)
        files |= made.files
        notices += made.notices
    which = [name for name in BOOKS if name in wanted]
    if which:
        manual = pages()
        files |= {f"{name}.pdf": print_book(book, manual, name, draft=draft) for name in which}
    if "lists" in wanted:
        files |= lists.bench_files(book)
    if "bench" in wanted:
        files["bench.pdf"] = print_bench(book, draft=draft)
    if "measuring" in wanted and book.van.unknown:
        files["measuring.pdf"] = print_measuring(book)
    return PrintedFiles(files, notices)
