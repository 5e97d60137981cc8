"""One van file in, judgement or whole manual out: the one entry point behind every door."""

import gc
from collections.abc import Collection, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING

from vandoc import checks
from vandoc.archive import Revision, content_of, revisions
from vandoc.checks.case import Case
from vandoc.checks.finding import Finding
from vandoc.energy import complete
from vandoc.loader import VanFile, load
from vandoc.network.expand import build as build_network
from vandoc.network.graph import Network
from vandoc.sizing import Sizing, size

if TYPE_CHECKING:
    from vandoc.manual.pages import Pages
    from vandoc.paper.printing import Printed


@dataclass(frozen=True)
class Judged:
    """A van that was read, sized and judged.

    Attributes
    ----------
    van_file : VanFile
    case : Case
    findings : tuple of Finding
    revisions : tuple of Revision
        What was archived of it, the oldest first.
    """

    van_file: VanFile
    case: Case
    findings: tuple[Finding, ...]
    revisions: tuple[Revision, ...] = ()

    @property
    def network(self) -> Network:
        """Its wiring."""
        return self.case.network

    @property
    def sizing(self) -> Sizing:
        """Its sizes."""
        return self.case.sizing

    @property
    def fails(self) -> tuple[Finding, ...]:
        """The findings that break a rule."""
        return tuple(finding for finding in self.findings if finding.severity == "fail")


def judge(path: Path, shown_from: Path | None = None) -> Judged:
    """Read a van file and judge it by every rule.

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
    kept = revisions(van_file)
    changed = bool(kept) and kept[-1].content != content_of(van_file)
    van_file = replace(van_file, system=complete(van_file.system))
    network = build_network(van_file.system)
    sizing = size(van_file.system, network)
    case = Case(van_file.system, network, sizing, checks.Recorded(kept[-1].mark if kept else None, changed))
    judged = Judged(van_file, case, checks.run(van_file, case), kept)
    if not judged.fails:
        return judged
    from vandoc.remedy import with_nearest  # a sound van pays for no search

    return replace(judged, findings=with_nearest(van_file, network, sizing, judged.findings))


def write_manual(judged: Judged) -> "Pages":
    """Make every page and drawing of the manual.

    Raises
    ------
    VandocError
        When no layout program for the single-line diagram is there.
    """
    from vandoc.manual.pages import build_pages  # a check pays for no templates

    with _nothing_collected():
        return build_pages(judged.van_file, judged.case, judged.findings, judged.revisions)


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


def print_paper(judged: Judged, wanted: Collection[str], sheet: str) -> "Printed":
    """Make what is printed: labels, books, lists; see :func:`vandoc.paper.printing.print_van`.

    Raises
    ------
    VandocError
        When the library that makes PDF is missing, or there is no such label sheet.
    """
    from vandoc.manual.book import Book
    from vandoc.paper.printing import print_van

    book = Book(judged.van_file, judged.case, judged.findings, judged.revisions)
    return print_van(book, lambda: write_manual(judged), wanted, sheet, draft=bool(judged.fails))
