"""Writing of a new revision: a sealed copy and its number in the van file, both or neither."""

import json
from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import date
from pathlib import Path
from typing import Any

from vandoc.ground.disk import locked
from vandoc.ground.errors import SystemFileError, VandocError
from vandoc.ground.extensions import Package, packages
from vandoc.model.base import Line
from vandoc.reading import editing
from vandoc.reading.archive.calculated import Calculated
from vandoc.reading.archive.interrupted import PENDING, set_aside, settle
from vandoc.reading.archive.reading import examine, revisions
from vandoc.reading.archive.revision import (
    WORKSHOP,
    Revision,
    content_of,
    folder_of,
    name_of,
    seal_of,
    van_file_in,
)
from vandoc.reading.archive.words import say
from vandoc.reading.explain import as_stated
from vandoc.reading.loader import VanFile, load
from vandoc.reading.part_sheets import sheet_file
from vandoc.reading.yamltree import MAX_BYTES, Node, parse, read_text

COPY_COMMENT = "# The lines below were added when this copy was archived: its part sheets and its revision."


Calculate = Callable[[VanFile], Calculated]
"""What a copy keeps of the results of the van that it contains."""


def keep(
    path: Path,
    why: str,
    day: date,
    draft: editing.Draft | None = None,
    calculate: Calculate | None = None,
) -> Revision:
    """Archive a van file as its next revision.

    The first copy takes the number in the file; each later one the next number. The copy is written in full
    before the number in the van file is changed, and is given its name afterwards. If interrupted at any
    point, either both have the new number or neither has.

    Parameters
    ----------
    path : Path
        The van file.
    why : str
        Reason for the revision, in one line.
    day : date
    draft : Draft, optional
        The file as last read; it must not have changed since.
    calculate : callable, optional
        Calculates the results to keep with the copy; without it, the copy keeps none.

    Raises
    ------
    SystemFileError
        If the file, or an older copy, cannot be used.
    ChangedMeanwhileError
        If the file was changed by someone else.
    VandocError
        If nothing has changed since the newest revision, the day is earlier than that revision, or the copy
        cannot be written.
    """
    try:
        why = one_line(why)
    except ValueError as error:
        raise VandocError(f"{path}: {error}") from error
    draft = editing.read(path) if draft is None else draft
    with locked(draft.path.parent):
        van_file = load(path, text=draft.text)
        older = revisions(van_file)
        content = content_of(van_file)
        newest = older[-1] if older else None
        if newest is not None and newest.content == content:
            raise VandocError(say("writing.unchanged_since", path=path, mark=newest.mark))
        if newest is not None and day < newest.date:
            raise VandocError(
                say("writing.before_revision", path=path, day=day, mark=newest.mark, date=newest.date)
            )
        number = newest.number + 1 if newest else van_file.system.van.revision
        head = _Head(number, day, why, newest.mark if newest else None, content)
        return _write(draft, van_file, head, calculate)


def one_line(why: str) -> str:
    """Return the reason for a revision as one line.

    Raises
    ------
    ValueError
        If it is empty, too long, or contains a character that a file cannot hold.
    """
    try:
        return str(as_stated(Line, " ".join(why.split())))
    except ValueError as error:
        raise ValueError(say("writing.reason_revision", error=error)) from error


def _write(draft: editing.Draft, van_file: VanFile, head: "_Head", calculate: Calculate | None) -> Revision:
    """Write the copy in full, then its number into the van file, then name the copy."""
    path = van_file.path
    numbered = editing.changed(draft, lambda tree: enter_number(tree["van"], head.number))
    load(path, text=numbered.text)  # an invalid file is not written
    copy = _copy(numbered.text, van_file, head, calculate)
    folder = folder_of(draft.path)
    try:
        folder.mkdir(exist_ok=True)
    except OSError as error:
        raise VandocError(say("writing.cannot_created", folder=folder, reason=error.strerror)) from error
    target = folder / name_of(head.number)
    pending = target.with_name(f"{target.name}{PENDING}")
    editing.replace_file(pending, copy.encode())
    try:
        editing.save(numbered)
    except VandocError:
        if not _is_saved(numbered):  # it may be although something failed afterwards
            pending.unlink(missing_ok=True)
        raise
    try:
        pending.replace(target)
    except OSError as error:
        raise VandocError(say("writing.cannot_written", target=target, reason=error.strerror)) from error
    return revisions(load(path))[-1]


def _is_saved(draft: editing.Draft) -> bool:
    try:
        return editing.read(draft.path).text == draft.text
    except SystemFileError:
        return True  # the next run finds out


def enter_number(van: Any, number: int) -> None:
    """Enter the number of a revision, and that it has a copy: the file says so if all copies are lost."""
    if van.get("revision", "1") != str(number):
        van["revision"] = str(number)
    if van.get("archived") != "true":
        van.pop("archived", None)
        van.insert(list(van).index("revision") + 1 if "revision" in van else len(van), "archived", "true")


@dataclass(frozen=True)
class _Head:
    """Metadata of a copy; see :class:`Revision`."""

    number: int
    date: date
    why: str
    before: str | None
    content: str
    lost: tuple[int, ...] = ()
    packages: tuple[Package, ...] = field(default_factory=packages)

    def line(self) -> str:
        entries = {
            "revision": str(self.number),
            "date": self.date.isoformat(),
            "why": json.dumps(self.why, ensure_ascii=False),
            "before": json.dumps(self.before),
            "content": json.dumps(self.content),
        }
        if self.lost:
            entries["lost"] = json.dumps(self.lost)
        if self.packages:
            entries["packages"] = json.dumps({one.name: one.version for one in self.packages})
        return f"archived: {{{', '.join(f'{key}: {value}' for key, value in entries.items())}}}"


def _copy(text: str, van_file: VanFile, head: _Head, calculate: Calculate | None) -> str:
    path = van_file.path
    lines = [text.rstrip("\n"), "", COPY_COMMENT, *_sheets(text, van_file)]
    if van_file.workshop is not None:
        lines += [f"{WORKSHOP}:", *_indented(van_file.workshop.text, 2)]
    if calculate is not None:
        lines += calculate(van_file_in(_parsed(lines, path), path)).lines()
    lines.append(head.line())
    _parsed(lines, path)
    copy = "\n".join(lines) + "\n"
    sealed = f"{copy}# seal: {seal_of(copy)}\n"
    if len(sealed.encode()) > MAX_BYTES:
        raise VandocError(say("writing.part_sheets_copy", path=path, kb=MAX_BYTES // 1000))
    return sealed


def _parsed(lines: list[str], path: Path) -> Node:
    try:
        return parse("\n".join(lines), path.name)
    except SystemFileError as error:
        raise VandocError(
            say("writing.cannot_archived_form", path=path, message=error.problems[0].message)
        ) from error


@dataclass(frozen=True)
class RepairResult:
    """Repair of a damaged history.

    Attributes
    ----------
    revision : Revision or None
        Revision that records the repair; None if moving files was sufficient.
    lost : tuple of int
        Revisions that cannot be read; their files, if any, are left unchanged.
    moved : tuple of Path
        New paths of files that are not revisions.
    """

    revision: Revision | None
    lost: tuple[int, ...]
    moved: tuple[Path, ...]


def repair(path: Path, day: date, calculate: Calculate | None = None) -> RepairResult | None:
    """Make a van file with a damaged history usable again; every readable revision is kept.

    The van file is archived as a new revision that lists the lost ones. Nothing is deleted.

    Parameters
    ----------
    path : Path
        The van file.
    day : date
    calculate : callable, optional
        As for :func:`keep`.

    Returns
    -------
    RepairResult or None
        None if nothing is wrong.

    Raises
    ------
    SystemFileError
        If the file itself cannot be used, or its archive folder cannot be read.
    VandocError
        If a file cannot be written.
    """
    draft = editing.read(path)
    with locked(draft.path.parent):
        van_file = load(path, text=draft.text)
        settle(van_file)
        history = examine(van_file)
        if not history.problems:
            return None
        try:
            moved = tuple(set_aside(stray) for stray in history.strays)
        except OSError as error:
            raise VandocError(
                say("writing.cannot_moved", filename=error.filename, reason=error.strerror)
            ) from error
        wanted = van_file.system.van.revision
        history = examine(van_file) if moved else history
        if not history.problems:
            return RepairResult(None, (), moved)
        lost = tuple(sorted(history.unusable))
        newest = list(history.sound.values())[-1] if history.sound else None
        number = max(wanted, newest.number if newest else 0)
        if not lost and number == wanted:
            raise SystemFileError(history.problems)
        head = _Head(
            number + 1,
            max(day, newest.date) if newest else day,
            _why_repaired(lost),
            newest.mark if newest else None,
            content_of(van_file),
            lost,
        )
        return RepairResult(_write(draft, van_file, head, calculate), lost, moved)


def _why_repaired(lost: tuple[int, ...]) -> str:
    if not lost:
        return say("writing.history_repaired_older")
    return say("writing.history_repaired", lost=", ".join(map(str, lost)))


def _sheets(text: str, van_file: VanFile) -> list[str]:
    """Part sheets named in the file, as written, indented for the copy."""
    path = van_file.path
    tree = parse(text, path.name).plain()
    named = [
        entry["part"]
        for section in ("equipment", "loads")
        for entry in tree.get(section, {}).values()
        if "part" in entry
    ]
    if not named:
        return ["part_sheets: {}"]
    lines = ["part_sheets:"]
    for name in sorted(set(named)):
        lines.append(f"  {json.dumps(name, ensure_ascii=False)}:")
        lines += _indented(read_text(sheet_file(path, name, van_file.sheet_folders), name), 4)
    return lines


def _indented(text: str, by: int) -> list[str]:
    lines = text.replace("\r\n", "\n").rstrip("\n").split("\n")
    return [" " * by + line if line else "" for line in lines]
