"""Mark file in each folder that vandoc writes: the kind of output and the files it contains."""

import json
import os
import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Literal

from vandoc.ground.messages import Messages

WORDS = Messages("vandoc.doors.output", "refusals")
MARK = ".vandoc"
WORKER = "sw.js"
OLD_WORKER = b"// Keeps the whole manual on the phone."  # its start in manuals without a mark
Kind = Literal["manual", "print", "work"]
MARK_PATTERN = re.compile(r'\{\s*"vandoc": "(?P<kind>manual|print|work)"')
FILE_MANAGER_FILES = (".DS_Store", "Thumbs.db", "desktop.ini")  # created by file managers


@dataclass(frozen=True)
class Mark:
    """Content of a mark.

    Attributes
    ----------
    kind : str
        ``"manual"``, ``"print"``, or ``"work"`` for a temporary folder.
    files : frozenset of str or None
        Paths in the folder; None while it is being written: everything in it is then vandoc's.
    """

    kind: Kind
    files: frozenset[str] | None = None

    def text(self) -> str:
        """Return the mark as text."""
        files = None if self.files is None else sorted(self.files)
        content = {"vandoc": self.kind, "note": WORDS["note"], "files": files}
        return json.dumps(content, ensure_ascii=False, indent=0) + "\n"


def read_mark(folder: Path) -> Mark | None:
    """Return the mark of a folder written by vandoc; None for any other.

    A manual from a version without marks is recognised by its worker file.
    """
    try:
        text = (folder / MARK).read_text("utf-8", "replace")
    except OSError:
        text = ""
    begun = MARK_PATTERN.match(text)
    if begun is None:
        return Mark("manual") if _old_manual(folder) else None
    kind: Any = begun["kind"]
    try:
        files = json.JSONDecoder().raw_decode(text)[0]["files"]
    except (ValueError, LookupError):  # the mark is incomplete, so the folder is too
        return Mark(kind)
    return Mark(kind, None if files is None else frozenset(map(str, files)))


def mark_of(folder: Path, kind: Kind) -> Mark:
    """Return the mark of a folder that vandoc has just written."""
    return Mark(kind, frozenset(files_in(folder)))


def files_in(folder: Path) -> Iterator[str]:
    """Yield the relative path of every file in a folder, except the mark and files of file managers."""

    def refuse(error: OSError) -> None:
        raise error

    for root, folders, names in os.walk(folder, onerror=refuse):
        links = [name for name in folders if Path(root, name).is_symlink()]
        for name in (*names, *links):
            if name not in FILE_MANAGER_FILES and not (name == MARK and Path(root) == folder):
                yield Path(root, name).relative_to(folder).as_posix()


def added(mark: Mark, names: Iterable[str]) -> list[str]:
    """Return those of the names that the mark does not list."""
    return [] if mark.files is None else sorted(set(names) - mark.files)


def _old_manual(folder: Path) -> bool:
    try:
        with (folder / WORKER).open("rb") as stream:
            return stream.read(len(OLD_WORKER)) == OLD_WORKER and (folder / "index.html").is_file()
    except OSError:
        return False
