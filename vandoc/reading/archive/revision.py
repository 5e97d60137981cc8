"""One archived copy: the text of the van file, its part sheets, and a hash over both.

A copy is self-contained. The van file's own text is followed by ``part_sheets`` with each sheet that it
names, by ``workshop_file`` with that file's text if there is one, by ``calculated`` with the results of that
time (copies of earlier versions have none), and by ``archived`` with the details of the revision. The seal in
the last line is the SHA-256 hash of everything above it, and each copy contains the mark of its predecessor,
so any edit is detected.
"""

import hashlib
import json
import re
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from vandoc.ground.errors import Problem, SystemFileError
from vandoc.ground.extensions import Package
from vandoc.reading.archive.calculated import KEY as CALCULATED
from vandoc.reading.archive.calculated import Calculated, calculated_in
from vandoc.reading.archive.words import say
from vandoc.reading.formats import unnumbered
from vandoc.reading.loader import VanFile, load_copy
from vandoc.reading.yamltree import Node, parse

WORKSHOP = "workshop_file"
SEAL = re.compile(r"# seal: ([0-9a-f]{64})\n\Z")
MARK_DIGITS = 6
KEPT_BY_US = frozenset({"revision", "archived"})
"""Keys of `van` that archiving writes; they say nothing of the van itself."""


@dataclass(frozen=True)
class Revision:
    """An archived copy.

    Attributes
    ----------
    number : int
    date : date
    why : str
        Reason given by the workshop.
    before : str or None
        Mark of the previous revision; None for the first.
    content : str
        Hash of everything the manual was made from; see :func:`content_of`.
    mark : str
        Number and fingerprint, such as ``3-ab12cd``.
    path : Path
    text : str
    lost : tuple of int
        Older revisions that could not be read when this one was archived, and are no longer required.
    packages : tuple of Package
        Third-party packages that added something when it was archived.
    """

    number: int
    date: date
    why: str
    before: str | None
    content: str
    mark: str
    path: Path
    text: str
    lost: tuple[int, ...] = ()
    packages: tuple[Package, ...] = ()

    def van_file(self) -> VanFile:
        """Return the van file that the copy contains.

        Raises
        ------
        SystemFileError
            If it can no longer be read, such as a copy from before a key was renamed.
        """
        return van_file_in(parse(self.text, self.path.name), self.path)

    def calculated(self) -> Calculated | None:
        """Return what was calculated when it was archived; None if the copy does not keep it.

        Raises
        ------
        SystemFileError
            If that cannot be read.
        """
        block = parse(self.text, self.path.name).value.get(CALCULATED)
        return None if block is None else calculated_in(block)


def van_file_in(copy: Node, path: Path) -> VanFile:
    """Return the van file that a copy contains.

    Parameters
    ----------
    copy : Node
        Content of the copy; changed.
    path : Path
        Path of the copy; it need not exist.

    Raises
    ------
    SystemFileError
        As :meth:`Revision.van_file`.
    """
    for key in (CALCULATED, "archived"):
        copy.value.pop(key, None)
    sheets = copy.value.pop("part_sheets", None)
    named = sheets.value.values() if sheets is not None and isinstance(sheets.value, dict) else None
    if named is None or not all(isinstance(sheet.value, dict) for sheet in named):
        place = copy.location if sheets is None else sheets.location
        raise SystemFileError([Problem(place, say("revision.part_sheets_part"))])
    workshop = copy.value.pop(WORKSHOP, None)
    if workshop is not None and not isinstance(workshop.value, dict):
        raise SystemFileError(
            [Problem(workshop.location, say("revision.no_workshop_file", workshop=WORKSHOP))]
        )
    return load_copy(path, copy, sheets, workshop)


def folder_of(van_file: Path) -> Path:
    """Return the folder that holds the copies of a van file.

    Examples
    --------
    >>> folder_of(Path("sites/teal/van.yml")).as_posix(), folder_of(Path("vans/teal.yml")).as_posix()
    ('sites/teal/revisions', 'vans/revisions-teal')
    """
    name = "revisions" if van_file.stem == "van" else f"revisions-{van_file.stem}"
    return van_file.parent / name


def name_of(number: int) -> str:
    """Return the file name of a copy."""
    return f"{number:04d}.yml"


def mark_of(number: int, seal: str) -> str:
    """Return the mark of a revision."""
    return f"{number}-{seal[:MARK_DIGITS]}"


def seal_of(text: str) -> str:
    """Return the seal (hash) of a text."""
    return hashlib.sha256(text.encode()).hexdigest()


def content_of(van_file: VanFile) -> str:
    """Return a short hash of everything that a manual is made from: values, part sheets, pictures, pages.

    Comments, layout, what archiving writes and the number of the format do not count. Values count as they
    are written, so that the mark is the same in every version of vandoc.
    """
    plain = unnumbered(van_file.written).plain()
    plain["van"] = {key: value for key, value in plain["van"].items() if key not in KEPT_BY_US}
    digest = hashlib.sha256(json.dumps(plain, ensure_ascii=False).encode())
    root = van_file.path.parent
    pictures = [file for file in van_file.files if file.suffix not in (".yml", ".yaml")]
    pages = sorted(path for path in (root / "pages").rglob("*") if path.is_file())
    for file in [*pictures, *pages]:
        digest.update(file.name.encode() + b"\0" + hashlib.sha256(file.read_bytes()).digest())
    return digest.hexdigest()[:16]
