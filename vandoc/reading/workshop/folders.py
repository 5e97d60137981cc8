"""The folders of part sheets that a workshop file declares."""

import os
from collections.abc import Iterator
from pathlib import Path

from vandoc.reading.yamltree import Node

KEY = "part_sheets"


def declared(workshop_file: Path, tree: Node) -> Iterator[tuple[int, Node, Path]]:
    """Yield the number of each declared folder, its place in the file, and its path; it need not exist."""
    entries = tree.value.get(KEY)
    if entries is None or not isinstance(entries.value, list):
        return
    for number, entry in enumerate(entries.value):
        if isinstance(entry.value, str) and "\0" not in entry.value:
            yield number, entry, workshop_file.parent / entry.value


def folder_fault(workshop_file: Path, folder: Path, named: str) -> str | None:
    """Return the key of the message why a declared folder cannot be used; None if it can."""
    root, real = Path(os.path.realpath(workshop_file.parent)), Path(os.path.realpath(folder))
    if Path(named).is_absolute():
        return "absolute"
    if real == root:
        return "whole"
    if not real.is_relative_to(root):
        return "outside"
    try:
        return None if folder.is_dir() else "missing"
    except OSError:
        return "missing"
