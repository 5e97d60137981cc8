"""From one van file to an analysed van, its manual or its printed files; used by every entry point."""

import shutil
from collections.abc import Collection
from pathlib import Path
from typing import TYPE_CHECKING

from vandoc.analysis import Van
from vandoc.ground.errors import ChecksFailedError
from vandoc.ground.memory import nothing_collected
from vandoc.reading.archive import revisions
from vandoc.reading.loader import load

if TYPE_CHECKING:
    from vandoc.pages.manual.pages import Pages
    from vandoc.paper.printing import LabelOptions, PrintedFiles


def read(path: Path, shown_from: Path | None = None) -> Van:
    """Read a van file and its archive; nothing is calculated yet.

    Parameters
    ----------
    path : Path
        The van file.
    shown_from : Path, optional
        Folder to which file names in findings and errors are relative (default: the working folder).

    Raises
    ------
    SystemFileError
        If the file, or an archived revision of it, cannot be used.
    """
    van_file = load(path, shown_from)
    return Van.of(van_file, revisions(van_file))


def write_manual(van: Van) -> "Pages":
    """Create every page and drawing of the manual.

    Raises
    ------
    VandocError
        If no layout program for the single-line diagram is available.
    """
    from vandoc.pages.manual.pages import build_pages  # a check does not load the templates

    with nothing_collected(), van.speaking():
        return build_pages(van)


def print_paper(van: Van, wanted: Collection[str], options: "LabelOptions") -> "PrintedFiles":
    """Create the printed files: labels, books, lists; see :func:`vandoc.paper.printing.print_van`.

    Raises
    ------
    VandocError
        If the PDF library is missing, or the label sheet does not exist.
    """
    from vandoc.judgement.remedy import stopping
    from vandoc.pages.manual.book import Book
    from vandoc.paper.printing import print_van

    with nothing_collected(), van.speaking():
        return print_van(Book(van), lambda: write_manual(van), wanted, options, draft=bool(stopping(van)))


def print_into(
    file: Path, target: Path, wanted: Collection[str], options: "LabelOptions", *, draft: bool
) -> tuple[list[Path], tuple[str, ...]]:
    """Print a van into a folder; files of earlier runs that this run does not create are kept.

    Returns
    -------
    list of Path, tuple of str
        The files, and notes for the person who prints them.

    Raises
    ------
    ChecksFailedError
        If a check fails and no draft is requested.
    VandocError
        As :func:`print_paper`; a `RefusedError` if the folder may not be replaced.
    """
    from vandoc.doors.output import fresh_folder, read_mark, sources_of
    from vandoc.judgement.remedy import stopping

    with fresh_folder(target, "print", sources_of(file)) as fresh:
        van = read(file)
        if stopping(van) and not draft:
            raise ChecksFailedError("\n".join(map(str, stopping(van))))
        made = print_paper(van, wanted, options)
        for name, content in made.files.items():
            (fresh / name).parent.mkdir(parents=True, exist_ok=True)
            (fresh / name).write_bytes(content)
        mark = read_mark(target)
        for name in sorted((mark and mark.files) or ()):
            if name not in made.files and (target / name).is_file():
                (fresh / name).parent.mkdir(parents=True, exist_ok=True)
                shutil.copy2(target / name, fresh / name)
    return [target / name for name in made.files], made.notices
