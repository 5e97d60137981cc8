"""New files, all of them or none, that never take the place of others."""

import os
import re
import tempfile
from collections.abc import Mapping
from contextlib import suppress
from pathlib import Path

from vandoc.doors.output.making import make_folders, remove_empty
from vandoc.doors.output.mark import WORDS
from vandoc.doors.output.target import Refusal, RefusedError, in_the_way
from vandoc.ground.errors import VandocError


def create_files(folder: Path, contents: Mapping[str, bytes]) -> list[Path]:
    """Make new files in a folder, and the folder where it is not there yet.

    Each is written in full beside its place before any gets its name. A file that already holds the same is
    left as it is, so that a run that was cut short between two names can be done again.

    Parameters
    ----------
    folder : Path
    contents : mapping of str to bytes
        Content by name. Names are given in this order, so the last should be the one that counts.

    Returns
    -------
    list of Path
        The files.

    Raises
    ------
    RefusedError
        When there is another file of one of the names.
    VandocError
        When they cannot be written; then none of them is there.
    """
    targets = {folder / name: content for name, content in contents.items()}
    for path, content in targets.items():
        if in_the_way(path, content):
            raise RefusedError(Refusal("exists", path))
    wanted = {path: content for path, content in targets.items() if not path.exists()}
    made: list[Path] = []
    named: list[Path] = []
    staged: dict[Path, Path] = {}
    try:
        made = make_folders(folder)
        _clear(folder, contents)
        try:
            for path, content in wanted.items():
                staged[path] = _staged(path, content)
            for path, fresh in staged.items():
                _named(fresh, path)
                named.append(path)
        finally:
            for fresh in staged.values():
                fresh.unlink(missing_ok=True)
    except (OSError, RefusedError) as error:
        for path in named:
            with suppress(OSError):
                path.unlink()
        remove_empty(made)
        if isinstance(error, RefusedError):
            raise
        reason = error.strerror or str(error)
        raise VandocError(WORDS.say("unwritable", path=error.filename or folder, reason=reason)) from error
    return list(targets)


def _clear(folder: Path, names: Mapping[str, bytes]) -> None:
    """Take away what a killed run left behind."""
    left = re.compile(rf"\.(?:{'|'.join(map(re.escape, names))})\.[a-z0-9_]{{8}}\.new")
    for path in folder.iterdir():
        if left.fullmatch(path.name):
            path.unlink(missing_ok=True)


def _staged(path: Path, content: bytes) -> Path:
    handle, name = tempfile.mkstemp(".new", f".{path.name}.", path.parent)
    fresh = Path(name)
    try:
        with os.fdopen(handle, "wb") as stream:
            stream.write(content)
            stream.flush()
            os.fsync(stream.fileno())
        fresh.chmod(0o666 & ~_umask())
    except OSError:
        fresh.unlink(missing_ok=True)
        raise
    return fresh


def _named(fresh: Path, path: Path) -> None:
    """Give a file its name, unless somebody else has just taken it."""
    try:
        os.link(fresh, path)
    except FileExistsError:
        raise RefusedError(Refusal("exists", path)) from None
    except OSError:  # a disk without links, such as a memory stick
        if os.path.lexists(path):
            raise RefusedError(Refusal("exists", path)) from None
        fresh.rename(path)


def _umask() -> int:
    mask = os.umask(0)
    os.umask(mask)
    return mask
