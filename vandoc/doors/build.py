"""One van file in, an analysed van, its manual or its paper out: the one entry point behind every door."""

import gc
from collections.abc import Collection, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING

from vandoc.analysis import Van
from vandoc.reading.archive import revisions
from vandoc.reading.loader import load

if TYPE_CHECKING:
    from vandoc.pages.manual.pages import Pages
    from vandoc.paper.printing import PrintedFiles


def read(path: Path, shown_from: Path | None = None) -> Van:
    """Read a van file and what was archived of it; nothing is computed yet.

    Parameters
    ----------
    path : Path
        The van file.
    shown_from : Path, optional
        The folder that file names in findings and errors are relative to; the working folder when left out.

    Raises
    ------
    SystemFileError
        When the file, or an archived revision of it, cannot be used.
    """
    van_file = load(path, shown_from)
    return Van.of(van_file, revisions(van_file))


def write_manual(van: Van) -> "Pages":
    """Make every page and drawing of the manual.

    Raises
    ------
    VandocError
        When no layout program for the single-line diagram is there.
    """
    from vandoc.pages.manual.pages import build_pages  # a check pays for no templates

    with _nothing_collected():
        return build_pages(van)


@contextmanager
def _nothing_collected() -> Iterator[None]:
    """Look for no garbage meanwhile: all that is made lives until the pages stand, and looking takes long."""
    was_on = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was_on:
            gc.enable()


def print_paper(van: Van, wanted: Collection[str], sheet: str) -> "PrintedFiles":
    """Make what is printed: labels, books, lists; see :func:`vandoc.paper.printing.print_van`.

    Raises
    ------
    VandocError
        When the library that makes PDF is missing, or there is no such label sheet.
    """
    from vandoc.judgement.remedy import fails
    from vandoc.pages.manual.book import Book
    from vandoc.paper.printing import print_van

    return print_van(Book(van), lambda: write_manual(van), wanted, sheet, draft=bool(fails(van)))
