"""Location of part sheets: beside the van file, or in an installed third-party package."""

from pathlib import Path, PurePosixPath

from vandoc.ground.errors import ExtensionError
from vandoc.ground.extensions import Extension, extensions


def sheet_file(van_file: Path, name: str) -> Path:
    """Return the file of a part sheet; it need not exist.

    The van's own folders take precedence, so a package can add part sheets but never replace one.

    Parameters
    ----------
    van_file : Path
    name : str
        As in the van file: a path from its folder, or a package's entry point and a path within it.

    Raises
    ------
    ExtensionError
        If two packages have the same entry point, or the package cannot be used.
    """
    own = van_file.parent / name
    extension = _extension(name)
    if extension is None or _exists(own):
        return own
    folder = extension.folder().resolve()
    file = folder.joinpath(*PurePosixPath(name).parts[1:]).resolve()
    return file if file.is_relative_to(folder) else own


def sheet_shown(van_file: Path, name: str) -> str:
    """Return the name of a part sheet for findings, relative to the van's folder, with the package's name."""
    extension = _extension(name)
    if extension is None or sheet_file(van_file, name) == van_file.parent / name:
        return name
    return str(PurePosixPath(str(extension.package), *PurePosixPath(name).parts[1:]))


def _extension(name: str) -> Extension | None:
    first = PurePosixPath(name).parts[:1]
    found = [one for one in extensions("part_sheets") if (one.name,) == first]
    if len(found) > 1:
        packages = " and ".join(str(one.package) for one in found)
        raise ExtensionError(f"packages {packages} both have part sheets named {found[0].name!r}; remove one")
    return found[0] if found else None


def _exists(file: Path) -> bool:
    """Whether a file exists; False for a name that the file system rejects."""
    try:
        return file.exists()
    except (OSError, ValueError):
        return False
