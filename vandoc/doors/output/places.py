"""Which of two paths holds the other, whatever links, dots or letter case they are written with."""

import os
import unicodedata
from pathlib import Path

Place = tuple[int, int, tuple[str, ...]]
"""Device and number of a file or folder that is there, and the names below it of one that is not."""


def lineage(path: Path) -> list[Place]:
    """Return the place of a path and of every folder above it, the path's own first.

    What is there is known by its number on the disk, so that a second name of it is not taken for another
    thing. Names of what is not there yet are compared without regard to case, as some systems do.
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
