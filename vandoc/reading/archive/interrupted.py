"""Recovery of an interrupted archiving step: the next run completes or undoes it.

A copy is written in full as `0004.yml.pending`, then the van file gets revision 4, then the copy gets its
name. So a pending copy is valid if the van file has its number, and says that it was archived; otherwise the
van file was never updated and the copy is discarded.
"""

import os
from contextlib import suppress
from pathlib import Path

from vandoc.ground.disk import locked
from vandoc.ground.errors import SystemFileError, VandocError
from vandoc.reading import editing
from vandoc.reading.archive.revision import SEAL, content_of, folder_of, name_of
from vandoc.reading.loader import VanFile
from vandoc.reading.yamltree import parse, read_text

PENDING = ".pending"
SET_ASIDE = "set-aside"


def settle(van_file: VanFile) -> None:
    """Complete or undo an archiving step that an earlier run did not finish.

    Nothing is done while another process writes there, or if the folder is read-only: the copy is then read
    read as if it had its name.
    """
    folder = folder_of(van_file.path)
    with suppress(VandocError, OSError), locked(van_file.path.parent, 0):
        editing.sweep(Path(os.path.realpath(van_file.path)))
        if not folder.is_dir():
            return
        for left in folder.glob(f".*{PENDING}.*{editing.TEMPORARY_SUFFIX}"):
            left.unlink(missing_ok=True)
        if not is_as_read(van_file):
            return
        target = folder / name_of(van_file.system.van.revision)
        for pending in sorted(folder.glob(f"*{PENDING}")):
            if is_finished(van_file, pending) and not target.exists():
                pending.rename(target)
            else:
                _undo(van_file, pending)


def is_as_read(van_file: VanFile) -> bool:
    """Whether a van file still has the revision number with which it was read."""
    try:
        van = parse(read_text(van_file.path, ""), "").plain().get("van")
    except SystemFileError:
        return False
    now = van_file.system.van
    return isinstance(van, dict) and (van.get("revision", 1), van.get("archived", False)) == (
        now.revision,
        now.archived,
    )


def is_finished(van_file: VanFile, pending: Path) -> bool:
    """Whether a van file was saved with the number of a pending copy.

    The first copy leaves the number as it is; the file then says that it was archived, like the copy. Copies
    of earlier versions of vandoc do not say that.
    """
    if pending.name != f"{name_of(van_file.system.van.revision)}{PENDING}":
        return False
    return van_file.system.van.archived or not _says_archived(pending)


def _says_archived(pending: Path) -> bool:
    try:
        van = parse(read_text(pending, ""), "").plain().get("van")
    except SystemFileError:
        return False
    return isinstance(van, dict) and van.get("archived") is True


def set_aside(path: Path) -> Path:
    """Move a file out of the history into a folder beside the copies; return its new path."""
    folder = path.parent / SET_ASIDE
    folder.mkdir(exist_ok=True)
    number, target = 1, folder / path.name
    while target.exists():
        number += 1
        target = folder / f"{path.name}.{number}"
    return path.rename(target)


def _undo(van_file: VanFile, pending: Path) -> None:
    """Remove a copy that never became a revision; set it aside if the van file has changed since."""
    text = pending.read_text("utf-8", "replace")
    if SEAL.search(text) and f'content: "{content_of(van_file)}"' in text.rpartition("\narchived: ")[2]:
        pending.unlink()
    else:
        set_aside(pending)
