"""A new revision: a sealed copy, and its number in the van file, both or neither."""

import json
from datetime import date
from pathlib import Path

from vandoc import editing
from vandoc.archive.reading import PENDING, revisions
from vandoc.archive.revision import Revision, content_of, folder_of, name_of, seal_of
from vandoc.errors import SystemFileError, VandocError
from vandoc.loader import load
from vandoc.yamltree import parse, read_text

NOTE = "# What follows was added when this copy was archived: its part sheets, and which revision it is."


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
    draft = editing.read(path) if draft is None else draft
    van_file = load(path, text=draft.text)
    older = revisions(van_file)
    content = content_of(van_file)
    newest = older[-1] if older else None
    if newest is not None and newest.content == content:
        raise VandocError(f"{path}: no changes since revision {newest.mark}")
    if newest is not None and day < newest.date:
        raise VandocError(f"{path}: revision {newest.mark} is of {newest.date}, which is after {day}")
    number = newest.number + 1 if newest else van_file.system.van.revision
    numbered = draft
    if number != van_file.system.van.revision:
        numbered = editing.changed(draft, lambda tree: tree["van"].update(revision=str(number)))
    folder = folder_of(draft.path)
    try:
        folder.mkdir(exist_ok=True)
    except OSError as error:
        raise VandocError(f"{folder}: cannot be made: {error.strerror}") from error
    text = _copy(numbered.text, path, number, day, why, newest, content)
    target = folder / name_of(number)
    pending = target.with_name(f"{target.name}{PENDING}")
    editing.replace_file(pending, text.encode())
    editing.save(numbered)
    _name(pending, target)
    return revisions(load(path))[-1]


def _name(pending: Path, target: Path) -> None:
    try:
        pending.replace(target)
    except OSError as error:
        raise VandocError(f"{target}: cannot be written: {error.strerror}") from error


def _copy(
    text: str, path: Path, number: int, day: date, why: str, before: Revision | None, content: str
) -> str:
    lines = [text.rstrip("\n"), "", NOTE, *_sheets(text, path)]
    head = {
        "revision": str(number),
        "date": day.isoformat(),
        "why": json.dumps(why, ensure_ascii=False),
        "before": json.dumps(before.mark if before else None),
        "content": json.dumps(content),
    }
    lines.append(f"archived: {{{', '.join(f'{key}: {value}' for key, value in head.items())}}}")
    copy = "\n".join(lines) + "\n"
    try:
        parse(copy, path.name)
    except SystemFileError as error:
        raise VandocError(
            f"{path}: this file cannot be archived; write its top level as 'key: value' lines, without '---'"
        ) from error
    return f"{copy}# seal: {seal_of(copy)}\n"


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
        sheet = read_text(path.parent / name, name).replace("\r\n", "\n").rstrip("\n")
        lines.append(f"  {json.dumps(name, ensure_ascii=False)}:")
        lines += [f"    {line}" if line else "" for line in sheet.split("\n")]
    return lines
