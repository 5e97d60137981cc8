"""Folders made on the way to a place, and taken away again when nothing came to be in them."""

from collections.abc import Iterable
from contextlib import suppress
from pathlib import Path


def make_folders(path: Path) -> list[Path]:
    """Make a folder and those above it; return those that were not there, the topmost first.

    Raises
    ------
    OSError
        When one cannot be made; then none is left.
    """
    made: list[Path] = []
    try:
        for folder in reversed((path, *path.parents)):
            if folder.is_dir():
                continue
            folder.mkdir()
            made.append(folder)
    except FileExistsError:
        if not path.is_dir():  # otherwise another process was quicker
            remove_empty(made)
            raise
    except OSError:
        remove_empty(made)
        raise
    return made


def remove_empty(folders: Iterable[Path]) -> None:
    """Take away those folders that hold nothing, the last first."""
    for folder in reversed(list(folders)):
        with suppress(OSError):
            folder.rmdir()
