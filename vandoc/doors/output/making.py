"""Parent folders created for output, and removed again if they remain empty."""

from collections.abc import Iterable
from contextlib import suppress
from pathlib import Path


def make_folders(path: Path) -> list[Path]:
    """Create a folder and its parents; return those that did not exist, topmost first.

    Raises
    ------
    OSError
        If one cannot be created; none is then left.
    """
    made: list[Path] = []
    try:
        for folder in reversed((path, *path.parents)):
            if folder.is_dir():
                continue
            folder.mkdir()
            made.append(folder)
    except FileExistsError:
        if not path.is_dir():  # otherwise another process created it first
            remove_empty(made)
            raise
    except OSError:
        remove_empty(made)
        raise
    return made


def remove_empty(folders: Iterable[Path]) -> None:
    """Remove those folders that are empty, last first."""
    for folder in reversed(list(folders)):
        with suppress(OSError):
            folder.rmdir()
