"""Read, check, build and print vans from Python.

>>> import vandoc
>>> van = vandoc.read("sites/wren/van.yml")
>>> [finding.rule for finding in vandoc.check(van) if finding.severity == "fail"]
[]

`vandoc.build(van, "manuals")` then writes the manual, `vandoc.print_paper(van, "paper")` the PDF files and
lists. Each does what the command of its name does. Importing `vandoc` loads none of the libraries: each
function loads its own. Modules below this one may change with any version.
"""

from collections.abc import Iterable
from importlib import import_module
from os import PathLike
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from vandoc.analysis import Van
    from vandoc.ground.errors import ChecksFailedError, SystemFileError, VandocError
    from vandoc.judgement.checks import Finding
    from vandoc.judgement.checks.amount import Amount
    from vandoc.judgement.checks.rule import Breach, fail, note, review, rule

__version__ = "0.1.0"
__all__ = [
    "Amount",
    "Breach",
    "ChecksFailedError",
    "Finding",
    "SystemFileError",
    "Van",
    "VandocError",
    "build",
    "check",
    "fail",
    "manual_pages",
    "note",
    "print_paper",
    "read",
    "review",
    "rule",
]

_HOMES = {
    "Amount": "vandoc.judgement.checks.amount",
    "Breach": "vandoc.judgement.checks.rule",
    "ChecksFailedError": "vandoc.ground.errors",
    "Finding": "vandoc.judgement.checks",
    "SystemFileError": "vandoc.ground.errors",
    "Van": "vandoc.analysis",
    "VandocError": "vandoc.ground.errors",
    "fail": "vandoc.judgement.checks.rule",
    "note": "vandoc.judgement.checks.rule",
    "review": "vandoc.judgement.checks.rule",
    "rule": "vandoc.judgement.checks.rule",
}


def __getattr__(name: str) -> object:
    """Load a class or a word for rules when it is first asked for."""
    if name not in _HOMES:
        raise AttributeError(f"module 'vandoc' has no attribute {name!r}")
    return getattr(import_module(_HOMES[name]), name)


def read(file: str | PathLike[str]) -> "Van":
    """Read a van file with its part sheets and archived revisions.

    Parameters
    ----------
    file : path
        The van file, such as ``sites/teal/van.yml``.

    Returns
    -------
    Van
        The analysed van; each of its results is computed when it is first asked for.

    Raises
    ------
    SystemFileError
        With every error in the file, each with file, line and column.
    """
    from vandoc.doors.build import read as read_van

    return read_van(Path(file))


def check(van: "Van") -> "tuple[Finding, ...]":
    """Check a van against every rule.

    Returns
    -------
    tuple of Finding
        In the order of the file. Those of severity ``fail`` name the smallest change that would pass.
    """
    from vandoc.judgement.remedy import findings

    return findings(van)


def manual_pages(van: "Van") -> dict[str, str | bytes]:
    """Return the pages and drawings of the manual, without a site around them.

    Returns
    -------
    dict
        Markdown, SVG and other contents by their path in the manual, such as ``emergency.md``.

    Raises
    ------
    VandocError
        If no layout program for the drawings is installed.
    """
    from vandoc.doors.build import write_manual

    return dict(write_manual(van).files)


def build(van: "Van", out: str | PathLike[str], *, draft: bool = False) -> Path:
    """Build the manual of a van in its own folder below `out`.

    The van file is read again, so that the manual is always that of the file.

    Parameters
    ----------
    van : Van
    out : path
        Folder of the manuals.
    draft : bool
        Whether to build a van that fails its checks too; each page then says so.

    Returns
    -------
    Path
        Folder of the manual.

    Raises
    ------
    ChecksFailedError
        If a check fails and no draft is wanted.
    VandocError
        If the file cannot be used or the folder cannot be written. What was published is then unchanged.
    """
    from vandoc.doors.publish import publish

    return publish(van.van_file.path, Path(out), draft=draft)


def print_paper(
    van: "Van",
    out: str | PathLike[str],
    *,
    only: Iterable[str] = (),
    labels: str = "3x8",
    since: str | None = None,
    first: int = 1,
    draft: bool = False,
) -> list[Path]:
    """Write the PDF files and lists of a van in its own folder below `out`.

    The van file is read again, as in :func:`build`. Needs the extra ``paper``.

    Parameters
    ----------
    van : Van
    out : path
        Folder of what is printed.
    only : iterable of str
        Of ``labels``, ``owner``, ``electrician``, ``lists`` and ``bench``; all of them if empty.
    labels : str
        Name of the label sheet or tape.
    since : str, optional
        Number or mark of an archived revision; only labels that it did not have.
    first : int
        Number of the first free label on the first sheet, from 1.
    draft : bool
        As in :func:`build`.

    Returns
    -------
    list of Path
        The files that were written.

    Raises
    ------
    ValueError
        If `only` names something else.
    ChecksFailedError, VandocError
        As in :func:`build`; also if there is no such label sheet or revision, or a package is missing.
    """
    from vandoc.doors.build import print_into
    from vandoc.doors.output import name_of
    from vandoc.paper.printing import KINDS, LabelOptions
    from vandoc.paper.words import say

    wanted = tuple(only) or KINDS
    if unknown := sorted(set(wanted) - set(KINDS)):
        raise ValueError(say("not_printed", unknown=", ".join(unknown), kinds=", ".join(KINDS)))
    file = van.van_file.path
    return print_into(
        file, Path(out) / name_of(file), wanted, LabelOptions(labels, since, first), draft=draft
    )[0]
