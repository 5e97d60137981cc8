"""Source files of a van: everything that output must never replace."""

import os
import re
from collections.abc import Iterable, Iterator
from contextlib import suppress
from dataclasses import dataclass
from functools import lru_cache
from itertools import islice
from pathlib import Path
from typing import Any

from vandoc.doors.output.places import within
from vandoc.ground.errors import SystemFileError
from vandoc.reading.archive import folder_of
from vandoc.reading.workshop import declared, find, folder_fault
from vandoc.reading.yamltree import parse, read_text

LEVELS_ABOVE = 4  # folders above a target that are searched for van files
MAX_VAN_FILES = 200  # van files considered in each of them
_VAN = re.compile(r"^van\s*:", re.MULTILINE)
_UNFIT = re.compile(r"[\n\0]|.{501}")


@dataclass(frozen=True)
class Sources:
    """Source files and folders of vans.

    Attributes
    ----------
    files : tuple of Path
        No output folder may be or contain one of these.
    folders : tuple of Path
        As `files`; also, no output may be inside one of these.
    whole : tuple of Path
        Those of the folders whose every file is a source.
    """

    files: tuple[Path, ...] = ()
    folders: tuple[Path, ...] = ()
    whole: tuple[Path, ...] = ()

    def __or__(self, other: "Sources") -> "Sources":
        return Sources(
            tuple(dict.fromkeys(self.files + other.files)),
            tuple(dict.fromkeys(self.folders + other.folders)),
            tuple(dict.fromkeys(self.whole + other.whole)),
        )

    def state(self) -> dict[Path, tuple[int, int]]:
        """Return the modification time and size of each file, to detect edits.

        Hidden files, which editors create beside open files, are left out.
        """
        own = [path for folder in self.whole for path in folder.rglob("[!.]*")]
        found = {}
        for path in (*self.files, *own):
            try:
                status = path.stat()
            except OSError:
                continue
            if path.is_file():
                found[path] = (status.st_mtime_ns, status.st_size)
        return found


def sources_of(van_file: Path) -> Sources:
    """Return the sources of a van's manual; only the known paths if the file cannot be read.

    Every text in the van file, a part sheet or the workshop file that names an existing file is treated as a
    source: part sheets, pictures, logo, and anything that later versions of the format name.
    """
    van_files = tuple(dict.fromkeys((van_file.absolute(), Path(os.path.realpath(van_file)))))
    files: list[Path] = [*van_files]
    whole = [folder for path in van_files for folder in (path.parent / "pages", folder_of(path))]
    folders = [*whole]
    workshops = list(dict.fromkeys(filter(None, map(find, van_files))))
    declared_folders = [folder for path in workshops for folder in _declared_in(path)]
    files += workshops
    folders += declared_folders
    for path in van_files:
        named = [*_named_in(path, declared_folders)]
        files += named
        # A picture or sheet beside the van file does not make the van's own folder a picture folder.
        folders += [file.parent for file in named if not within(path, file.parent)]
    for path in workshops:
        named = list(_named_in(path, ()))  # the logo
        files += named
        folders += [file.parent for file in named if not within(path, file.parent)]
    return Sources(tuple(dict.fromkeys(files)), tuple(dict.fromkeys(folders)), tuple(whole))


def sources_near(target: Path) -> Sources:
    """Return the sources of the vans in and beside the folders above a target."""
    found = Sources()
    real = Path(os.path.realpath(target))
    for folder in islice((real, *real.parents), LEVELS_ABOVE):
        for van_file in sorted({*_van_files(folder.glob("*.yml")), *_van_files(folder.glob("*/van.yml"))}):
            found |= sources_of(van_file)
    return found


def _van_files(paths: Iterator[Path]) -> list[Path]:
    try:
        return [path for path in islice(paths, MAX_VAN_FILES) if _VAN.search(_text(path))]
    except OSError:  # a folder without read permission
        return []


def _text(path: Path) -> str:
    try:
        return read_text(path, str(path))
    except (SystemFileError, OSError):
        return ""


def _declared_in(workshop_file: Path) -> Iterator[Path]:
    """Yield the folders of part sheets that a workshop file declares, as far as it can be read."""
    with suppress(SystemFileError):
        tree = parse(_text(workshop_file), str(workshop_file))
        for _, entry, folder in declared(workshop_file, tree):
            if folder_fault(workshop_file, folder, entry.value) is None:
                yield folder.absolute()


def _named_in(van_file: Path, sheet_folders: Iterable[Path]) -> Iterator[Path]:
    """Yield the files named in a van file and in its part sheets."""
    seen: set[Path] = set()
    left = [van_file]
    while left:
        current = left.pop()
        names = _names_in(_text(current))
        for folder in dict.fromkeys((current.parent, van_file.parent, *sheet_folders)):
            for file in _files(names, folder):
                if file in seen:
                    continue
                seen.add(file)
                yield file
                if file.suffix in (".yml", ".yaml"):
                    left.append(file)


@lru_cache(
    maxsize=4 * MAX_VAN_FILES
)  # vans nearby are read for each output, and again before it is exchanged
def _names_in(text: str) -> tuple[str, ...]:
    """Return the texts of a YAML file that can be the name of a file."""
    try:
        texts = _texts(parse(text, "").plain())
        return tuple(one for one in dict.fromkeys(texts) if "." in one and not _UNFIT.search(one))
    except SystemFileError:
        return ()


def _texts(value: Any) -> Iterator[str]:
    if isinstance(value, str):
        yield value
    elif isinstance(value, dict | list):
        for inner in value.values() if isinstance(value, dict) else value:
            yield from _texts(inner)


def _files(names: Iterable[str], folder: Path) -> Iterator[Path]:
    for name in names:
        try:
            if (folder / name).is_file():
                file = (folder / name).absolute()
                yield from dict.fromkeys((file, Path(os.path.realpath(file))))
        except (OSError, ValueError):
            continue
