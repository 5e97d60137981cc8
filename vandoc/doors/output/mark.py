"""The small file in each folder that vandoc writes: what kind of output it is, and which files are in it."""

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
OLD_WORKER = b"// Keeps the whole manual on the phone."  # so began the worker of manuals without a mark
Kind = Literal["manual", "print", "work"]
BEGINNING = re.compile(r'\{\s*"vandoc": "(?P<kind>manual|print|work)"')
NOBODYS = (".DS_Store", "Thumbs.db", "desktop.ini")  # left by file managers


@dataclass(frozen=True)
class Mark:
    """What a mark says.

    Attributes
    ----------
    kind : str
        ``"manual"``, ``"print"``, or ``"work"`` for a folder in which output is made.
    files : frozenset of str or None
        Paths in the folder; None while it is being written, when all of it is vandoc's.
    """

    kind: Kind
    files: frozenset[str] | None = None

    def text(self) -> str:
        """Return the mark as it is written."""
        files = None if self.files is None else sorted(self.files)
        content = {"vandoc": self.kind, "note": WORDS["note"], "files": files}
        return json.dumps(content, ensure_ascii=False, indent=0) + "\n"


def read_mark(folder: Path) -> Mark | None:
    """Return the mark of a folder that vandoc wrote; None for any other.

    A manual from before there were marks is known by its worker file.
    """
    try:
        text = (folder / MARK).read_text("utf-8", "replace")
    except OSError:
        text = ""
    begun = BEGINNING.match(text)
    if begun is None:
        return Mark("manual") if _old_manual(folder) else None
    kind: Any = begun["kind"]
    try:
        files = json.JSONDecoder().raw_decode(text)[0]["files"]
    except (ValueError, LookupError):  # its writing was cut short, and so the folder's
        return Mark(kind)
    return Mark(kind, None if files is None else frozenset(map(str, files)))


def mark_of(folder: Path, kind: Kind) -> Mark:
    """Return the mark of a folder that vandoc has just filled."""
    return Mark(kind, frozenset(files_in(folder)))


def files_in(folder: Path) -> Iterator[str]:
    """Yield the path in a folder of everything in it but folders, the mark, and nobody's files."""

    def refuse(error: OSError) -> None:
        raise error

    for root, folders, names in os.walk(folder, onerror=refuse):
        links = [name for name in folders if Path(root, name).is_symlink()]
        for name in (*names, *links):
            if name not in NOBODYS and not (name == MARK and Path(root) == folder):
                yield Path(root, name).relative_to(folder).as_posix()


def added(mark: Mark, names: Iterable[str]) -> list[str]:
    """Return those of the names that the mark does not know."""
    return [] if mark.files is None else sorted(set(names) - mark.files)


def _old_manual(folder: Path) -> bool:
    try:
        with (folder / WORKER).open("rb") as stream:
            return stream.read(len(OLD_WORKER)) == OLD_WORKER and (folder / "index.html").is_file()
    except OSError:
        return False
