"""Location of part sheets: beside the van file, in a folder of the workshop, or in an installed package."""

import os
from collections.abc import Sequence
from pathlib import Path, PurePosixPath

from vandoc.ground.errors import ExtensionError
from vandoc.ground.extensions import Extension, extensions
from vandoc.ground.messages import Messages

say = Messages("vandoc.reading", "part_sheets").say


def sheet_file(van_file: Path, name: str, folders: Sequence[Path] = ()) -> Path:
    """Return the file of a part sheet; it need not exist.

    The van's own folders take precedence, then the workshop's in their order, so a package can add part
    sheets but never replace one.

    Parameters
    ----------
    van_file : Path
    name : str
        As in the van file: a path from its folder or from one of the workshop's, or a package's entry point
        and a path within it.
    folders : sequence of Path
        The workshop's folders of part sheets.

    Raises
    ------
    ExtensionError
        If two packages have the same entry point, or the package cannot be used.
    """
    own = van_file.parent / name
    if _exists(own):
        return own
    for folder in folders:
        inside = _inside(folder, name)
        if inside is not None and _exists(inside):
            return inside
    extension = _extension(name)
    if extension is None:
        return own
    return _inside(extension.folder(), str(PurePosixPath(*PurePosixPath(name).parts[1:]))) or own


def sheet_shown(van_file: Path, name: str, folders: Sequence[Path] = ()) -> str:
    """Return the name of a part sheet for findings, relative to the van's folder, with the package's name."""
    file = sheet_file(van_file, name, folders)
    if file == van_file.parent / name:
        return name
    for folder in folders:
        if file == _inside(folder, name):
            return Path(os.path.relpath(file, os.path.realpath(van_file.parent))).as_posix()
    extension = _extension(name)
    assert extension is not None
    return str(PurePosixPath(str(extension.package), *PurePosixPath(name).parts[1:]))


def _inside(folder: Path, name: str) -> Path | None:
    """Return a file below a folder with links followed; None if it is elsewhere."""
    root = folder.resolve()
    file = Path(os.path.realpath(root / name))
    return file if file.is_relative_to(root) else None


def _extension(name: str) -> Extension | None:
    first = PurePosixPath(name).parts[:1]
    found = [one for one in extensions("part_sheets") if (one.name,) == first]
    if len(found) > 1:
        packages = " and ".join(str(one.package) for one in found)
        raise ExtensionError(say("packages_both_have", packages=packages, name=found[0].name))
    return found[0] if found else None


def _exists(file: Path) -> bool:
    """Whether a file exists; False for a name that the file system rejects."""
    try:
        return file.exists()
    except (OSError, ValueError):
        return False
