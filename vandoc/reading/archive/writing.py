"""A new revision: a sealed copy, and its number in the van file, both or neither."""

import json
from dataclasses import dataclass, field
from datetime import date
from pathlib import Path

from vandoc.ground.disk import locked
from vandoc.ground.errors import SystemFileError, VandocError
from vandoc.ground.extensions import Package, packages
from vandoc.model.base import Line
from vandoc.reading import editing
from vandoc.reading.archive.interrupted import PENDING, set_aside, settle
from vandoc.reading.archive.reading import examine, revisions
from vandoc.reading.archive.revision import Revision, content_of, folder_of, name_of, seal_of
from vandoc.reading.explain import as_stated
from vandoc.reading.loader import VanFile, load
from vandoc.reading.part_sheets import sheet_file
from vandoc.reading.yamltree import MAX_BYTES, parse, read_text

NOTE = "# The lines below were added when this copy was archived: its part sheets and its revision."


def keep(path: Path, why: str, day: date, draft: editing.Draft | None = None) -> Revision:
    """Archive a van file as its next revision.

    The first copy takes the number that the file has; each later one the next. The copy is written in full
    before the number is changed in the van file, and gets its name after it: whenever this is cut short,
    either both say the new number or neither does.

    Parameters
    ----------
    path : Path
        The van file.
    why : str
        What changed, in one line.
    day : date
    draft : Draft, optional
        The file as it was last read; it must not have changed since.

    Raises
    ------
    SystemFileError
        When the file, or an older copy, cannot be used.
    ChangedMeanwhileError
        When somebody changed the file.
    VandocError
        When nothing has changed since the newest revision, the day is before it, or the copy cannot be
        written.
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
            raise VandocError(f"{path}: unchanged since revision {newest.mark}; there is nothing to archive")
        if newest is not None and day < newest.date:
            raise VandocError(
                f"{path}: {day} is before revision {newest.mark} ({newest.date}); give a later date"
            )
        number = newest.number + 1 if newest else van_file.system.van.revision
        return _write(draft, van_file, _Head(number, day, why, newest.mark if newest else None, content))


def one_line(why: str) -> str:
    """Return the reason for a revision as one line.

    Raises
    ------
    ValueError
        When it is empty, too long, or holds a character that a file cannot hold.
    """
    try:
        return str(as_stated(Line, " ".join(why.split())))
    except ValueError as error:
        raise ValueError(f"reason for the revision: {error}") from error


def _write(draft: editing.Draft, van_file: VanFile, head: "_Head") -> Revision:
    """Write the copy in full, then its number into the van file, then name the copy."""
    path, numbered = van_file.path, draft
    if head.number != van_file.system.van.revision:
        numbered = editing.changed(draft, lambda tree: tree["van"].update(revision=str(head.number)))
        load(path, text=numbered.text)  # what is not sound is not written
    folder = folder_of(draft.path)
    try:
        folder.mkdir(exist_ok=True)
    except OSError as error:
        raise VandocError(f"{folder}: cannot be created: {error.strerror}") from error
    target = folder / name_of(head.number)
    pending = target.with_name(f"{target.name}{PENDING}")
    editing.replace_file(pending, _copy(numbered.text, path, head).encode())
    try:
        editing.save(numbered)
    except VandocError:
        pending.unlink(missing_ok=True)
        raise
    try:
        pending.replace(target)
    except OSError as error:
        raise VandocError(f"{target}: cannot be written: {error.strerror}") from error
    return revisions(load(path))[-1]


@dataclass(frozen=True)
class _Head:
    """What a copy says of itself; see :class:`Revision`."""

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


def _copy(text: str, path: Path, head: _Head) -> str:
    copy = "\n".join([text.rstrip("\n"), "", NOTE, *_sheets(text, path), head.line()]) + "\n"
    try:
        parse(copy, path.name)
    except SystemFileError as error:
        raise VandocError(
            f"{path}: cannot be archived in this form ({error.problems[0].message}); write its top level and "
            "that of its part sheets as 'key: value' lines, without '---'"
        ) from error
    sealed = f"{copy}# seal: {seal_of(copy)}\n"
    if len(sealed.encode()) > MAX_BYTES:
        raise VandocError(f"{path}: with its part sheets, the copy would be over {MAX_BYTES // 1000} kB")
    return sealed


@dataclass(frozen=True)
class Repaired:
    """What was done about a damaged history.

    Attributes
    ----------
    revision : Revision or None
        The one that records it; None when moving files away was enough.
    lost : tuple of int
        Revisions that cannot be read; their files, if there are any, stay as they are.
    moved : tuple of Path
        Where files that are no revisions are now.
    """

    revision: Revision | None
    lost: tuple[int, ...]
    moved: tuple[Path, ...]


def repair(path: Path, day: date) -> Repaired | None:
    """Let a van file be used again whose history is damaged; keep every revision that can be read.

    The van file is archived as a new revision, which names those that are lost. Nothing is deleted.

    Parameters
    ----------
    path : Path
        The van file.
    day : date

    Returns
    -------
    Repaired or None
        None when nothing is wrong.

    Raises
    ------
    SystemFileError
        When the file itself cannot be used, or its folder of revisions cannot be read.
    VandocError
        When something cannot be written.
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
            raise VandocError(f"{error.filename}: cannot be moved: {error.strerror}") from error
        wanted = van_file.system.van.revision
        history = examine(van_file) if moved else history
        if not history.problems:
            return Repaired(None, (), moved)
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
        return Repaired(_write(draft, van_file, head), lost, moved)


def _why_repaired(lost: tuple[int, ...]) -> str:
    if not lost:
        return "history repaired: an older van file had been put back"
    return f"history repaired: revision {', '.join(map(str, lost))} could not be read"


def _sheets(text: str, path: Path) -> list[str]:
    """The part sheets that the file names, word for word, two steps further in."""
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
        sheet = read_text(sheet_file(path, name), name).replace("\r\n", "\n").rstrip("\n")
        lines.append(f"  {json.dumps(name, ensure_ascii=False)}:")
        lines += [f"    {line}" if line else "" for line in sheet.split("\n")]
    return lines
