"""Creation of new files, all or none, which never replaces existing files."""

import os
import re
from collections.abc import Mapping
from contextlib import suppress
from pathlib import Path

from vandoc.doors.output.making import make_folders, remove_empty
from vandoc.doors.output.mark import WORDS
from vandoc.doors.output.target import Refusal, RefusedError, in_the_way
from vandoc.ground.disk import staged
from vandoc.ground.errors import VandocError


def create_files(folder: Path, contents: Mapping[str, bytes]) -> list[Path]:
    """Create new files in a folder, and the folder if it does not exist.

    Each file is written in full under a temporary name before any gets its own name. A file with the same
    content is kept, so that an interrupted run can be repeated.

    Parameters
    ----------
    folder : Path
    contents : mapping of str to bytes
        Content by name. Files are named in this order, so the most important one should be last.

    Returns
    -------
    list of Path
        Paths of the files.

    Raises
    ------
    RefusedError
        If a different file has one of the names.
    VandocError
        If they cannot be written; none of them then exists.
    """
    targets = {folder / name: content for name, content in contents.items()}
    for path, content in targets.items():
        if in_the_way(path, content):
            raise RefusedError(Refusal("exists", path))
    wanted = {path: content for path, content in targets.items() if not path.exists()}
    made: list[Path] = []
    named: list[Path] = []
    written: dict[Path, Path] = {}
    try:
        made = make_folders(folder)
        _clear(folder, contents)
        try:
            for path, content in wanted.items():
                written[path] = staged(path, content, ".new")
            for path, fresh in written.items():
                _named(fresh, path)
                named.append(path)
        finally:
            for fresh in written.values():
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
    """Remove the temporary files of an interrupted run."""
    left = re.compile(rf"\.(?:{'|'.join(map(re.escape, names))})\.[a-z0-9_]{{8}}\.new")
    for path in folder.iterdir():
        if left.fullmatch(path.name):
            path.unlink(missing_ok=True)


def _named(fresh: Path, path: Path) -> None:
    """Give a file its name, unless another process has just used it."""
    try:
        os.link(fresh, path)
    except FileExistsError:
        raise RefusedError(Refusal("exists", path)) from None
    except OSError:  # a file system without links, such as on a memory stick
        if os.path.lexists(path):
            raise RefusedError(Refusal("exists", path)) from None
        fresh.rename(path)
