"""Whether one path contains another, regardless of links, dots and letter case."""

import os
import unicodedata
from pathlib import Path

Place = tuple[int, int, tuple[str, ...]]
"""Device and inode of an existing file or folder, and the names below it that do not exist yet."""


def lineage(path: Path) -> list[Place]:
    """Return the location of a path and of every folder above it, starting with the path itself.

    Existing files are identified by their inode, so that a second name for one is recognised. Names that do
    not exist yet are compared without regard to case, as some systems do.
    """
    real = Path(os.path.realpath(path))
    steps = [real, *real.parents]
    numbers = [_number(step) for step in steps]
    places: list[Place] = []
    for index, _ in enumerate(steps):
        there = next((n for n in range(index, len(steps)) if numbers[n] is not None), len(steps) - 1)
        below = tuple(_plain(step.name) for step in reversed(steps[index:there]))
        device, number = numbers[there] or (0, 0)
        places.append((device, number, below))
    return places


def within(path: Path, folder: Path) -> bool:
    """Whether a path is a folder or is inside it."""
    return lineage(folder)[0] in lineage(path)


def _number(path: Path) -> tuple[int, int] | None:
    try:
        status = path.stat()
    except (OSError, ValueError):
        return None
    return status.st_dev, status.st_ino


def _plain(name: str) -> str:
    return unicodedata.normalize("NFC", name).casefold()
