"""One van file in, an analysed van, its manual or its paper out: the one entry point behind every door."""

import gc
import shutil
from collections.abc import Collection, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING

from vandoc.analysis import Van
from vandoc.ground.errors import ChecksFailedError
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


def print_into(
    file: Path, target: Path, wanted: Collection[str], sheet: str, *, draft: bool
) -> tuple[list[Path], tuple[str, ...]]:
    """Print a van into a folder; what an earlier run printed there and this one does not make stays.

    Returns
    -------
    list of Path, tuple of str
        The files, and what whoever prints them must know.

    Raises
    ------
    ChecksFailedError
        When the van breaks a rule and no draft is asked for.
    VandocError
        As :func:`print_paper`; a `RefusedError` when the folder may not be replaced.
    """
    from vandoc.doors.output import fresh_folder, read_mark, sources_of
    from vandoc.judgement.remedy import fails

    with fresh_folder(target, "print", sources_of(file)) as fresh:
        van = read(file)
        if fails(van) and not draft:
            raise ChecksFailedError("\n".join(map(str, fails(van))))
        made = print_paper(van, wanted, sheet)
        for name, content in made.files.items():
            (fresh / name).parent.mkdir(parents=True, exist_ok=True)
            (fresh / name).write_bytes(content)
        mark = read_mark(target)
        for name in sorted((mark and mark.files) or ()):
            if name not in made.files and (target / name).is_file():
                (fresh / name).parent.mkdir(parents=True, exist_ok=True)
                shutil.copy2(target / name, fresh / name)
    return [target / name for name in made.files], made.notices
