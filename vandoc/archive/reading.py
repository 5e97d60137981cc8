"""Archived copies read back, and what is wrong with them."""

from datetime import date
from pathlib import Path
from posixpath import dirname, join
from typing import Any

import yaml

from vandoc.archive.revision import SEAL, Revision, folder_of, mark_of, name_of, seal_of
from vandoc.errors import Location, Problem, SystemFileError
from vandoc.loader import VanFile
from vandoc.yamltree import read_text

PENDING = ".pending"  # a copy that was written in full before the van file was, and not yet named


def revisions(van_file: VanFile) -> tuple[Revision, ...]:
    """Return the archived copies of a van file, the oldest first; none where there is no folder of them.

    Raises
    ------
    SystemFileError
        When one is missing between others, was edited, or does not fit those around it or the van file.
    """
    folder = folder_of(van_file.path)
    wanted = van_file.system.van.revision
    found: dict[int, Path] = {}
    problems: list[Problem] = []

    def wrong(path: Path, message: str) -> None:
        problems.append(Problem(Location(_shown(van_file, path), 1, 1), message))

    for path in sorted(folder.glob("*.yml")) if folder.is_dir() else ():
        number = int(path.stem) if path.stem.isdecimal() and len(path.stem) < 8 else 0
        if number and path.name == name_of(number):
            found[number] = path
        else:
            wrong(path, f"not a revision file; revision files are named {name_of(1)} and so on")
    pending = folder / f"{name_of(wanted)}{PENDING}"
    if wanted not in found and pending.is_file():
        found[wanted] = pending
    if not found and not problems:
        return ()
    read = {number: _read(van_file, number, path, problems) for number, path in sorted(found.items())}
    numbers = list(read)
    for number in range(min(numbers, default=wanted), wanted + 1):
        if number not in read:
            wrong(folder / name_of(number), f"revision {number} is missing; restore it from a backup")
    if numbers and numbers[-1] > wanted:
        place = van_file.locate(("van", "revision"))
        problems.append(
            Problem(
                place,
                f"van.revision: the file says {wanted}, but revision {numbers[-1]} is archived; an "
                "older file was put back, or the number was changed by hand",
            )
        )
    for number, one in read.items():
        earlier = read.get(number - 1)
        if one is not None and earlier is not None and one.before != earlier.mark:
            wrong(
                one.path,
                f"revision {number} follows {one.before or 'no other'}, not {earlier.mark}; revision "
                f"{number - 1} is not the one that was there then",
            )
    if problems:
        raise SystemFileError(problems)
    return tuple(one for one in read.values() if one is not None)


def _shown(van_file: VanFile, path: Path) -> str:
    return join(dirname(van_file.tree.location.file), path.parent.name, path.name)


def _read(van_file: VanFile, number: int, path: Path, problems: list[Problem]) -> Revision | None:
    shown = _shown(van_file, path)
    try:
        text = read_text(path, shown)
    except SystemFileError as error:
        problems.extend(error.problems)
        return None
    seal = SEAL.search(text)
    head = _head(text)
    if seal is None or seal_of(text[: seal.start()]) != seal[1] or head is None or head["revision"] != number:
        problems.append(
            Problem(
                Location(shown, 1, 1),
                f"revision {number} was changed after it was archived: its checksum does not match. "
                "Restore it from a copy, or remove it with all older ones; the history then begins after it",
            )
        )
        return None
    return Revision(
        number,
        head["date"],
        head["why"],
        head["before"],
        head["content"],
        mark_of(number, seal[1]),
        path,
        text,
    )


def _head(text: str) -> dict[str, Any] | None:
    """What a copy says of itself, in its last lines; the rest is not read."""
    _, found, tail = text.rpartition("\narchived: ")
    try:
        head = yaml.safe_load(tail) if found else None
    except yaml.YAMLError:
        return None
    keys = {"revision": int, "date": date, "why": str, "before": str | None, "content": str}
    if not isinstance(head, dict) or set(head) != set(keys):
        return None
    return head if all(isinstance(head[key], kind) for key, kind in keys.items()) else None
