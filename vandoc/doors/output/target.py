"""Whether output may be written to a path; used by every command that writes files."""

import os
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Literal

from vandoc.doors.output.mark import WORDS, Kind, added, files_in, read_mark
from vandoc.doors.output.places import lineage
from vandoc.doors.output.sources import Sources, sources_near
from vandoc.ground.errors import VandocError

Reason = Literal["nameless", "contains", "inside", "file", "foreign", "kind", "added", "unreadable", "exists"]


@dataclass(frozen=True)
class Refusal:
    """Reason why a path may not be written to.

    Attributes
    ----------
    reason : str
    target : Path
        The path, as given.
    other : str
        The obstacle: a source, a file, a kind of output or the system's reason.
    """

    reason: Reason
    target: Path
    other: str = ""

    def __str__(self) -> str:
        return WORDS.say(f"refusals.{self.reason}", target=self.target, other=self.other)


class RefusedError(VandocError):
    """Output may not be written to its target."""

    def __init__(self, refusal: Refusal) -> None:
        self.refusal = refusal
        super().__init__(str(refusal))


def name_of(van_file: Path) -> str:
    """Return the name of a van's output: that of its folder, or of the file if it is not `van.yml`.

    Raises
    ------
    RefusedError
        If there is none, as for a van file at the root of the file system.
    """
    name = Path(os.path.realpath(van_file)).parent.name if van_file.stem == "van" else van_file.stem
    if name in ("", ".", ".."):
        raise RefusedError(Refusal("nameless", van_file))
    return name


def refusal(target: Path, kind: Kind, sources: Sources, *, hidden_stay: bool = False) -> Refusal | None:
    """Return why a folder may not be created or replaced as output; None if it may.

    Parameters
    ----------
    target : Path
        Output folder; it need not exist.
    kind : str
        Kind of output.
    sources : Sources
        Sources to protect. Those of vans near the target are added.
    hidden_stay : bool
        Whether hidden files in the folder are kept on replacement, as MkDocs does.
    """
    touched = _touched(target, sources | sources_near(target))
    return touched or _occupied(target, kind, hidden_stay=hidden_stay)


def refuse(target: Path, kind: Kind, sources: Sources, *, hidden_stay: bool = False) -> None:
    """Raise the result of :func:`refusal`, if any.

    Raises
    ------
    RefusedError
    """
    found = refusal(target, kind, sources, hidden_stay=hidden_stay)
    if found is not None:
        raise RefusedError(found)


def refuse_file(target: Path) -> None:
    """Raise an error if a new file may not be created: it exists, or is in a folder of sources.

    Raises
    ------
    RefusedError
    """
    found = _inside(target, sources_near(target))
    if found is None and os.path.lexists(target):
        found = Refusal("exists", target)
    if found is not None:
        raise RefusedError(found)


def refuse_folder(folder: Path, contents: Mapping[str, bytes | None]) -> None:
    """Raise an error if a new van may not be created in a folder: it has one, or is among sources.

    Parameters
    ----------
    folder : Path
    contents : mapping of str to bytes or None
        Files to create: name, and content if known; an existing file with that content is accepted.

    Raises
    ------
    RefusedError
    """
    present = [folder / name for name, content in contents.items() if in_the_way(folder / name, content)]
    found = Refusal("exists", present[0]) if present else _touched(folder, sources_near(folder))
    if found is not None:
        raise RefusedError(found)


def in_the_way(path: Path, content: bytes | None) -> bool:
    """Whether a path exists and is anything but a file of this content."""
    if not os.path.lexists(path):
        return False
    try:
        return content is None or not path.is_file() or path.read_bytes() != content
    except OSError:
        return True


def _touched(target: Path, sources: Sources) -> Refusal | None:
    place = lineage(target)[0]
    for source in (*sources.files, *sources.folders):
        # A source may be a link: both the link and its target are protected.
        if place in lineage(source) or place in lineage(source.parent):
            return Refusal("contains", target, str(source))
    return _inside(target, sources)


def _inside(target: Path, sources: Sources) -> Refusal | None:
    above = lineage(target)
    for folder in sources.folders:
        if lineage(folder)[0] in above:
            return Refusal("inside", target, str(folder))
    return None


def _occupied(target: Path, kind: Kind, *, hidden_stay: bool) -> Refusal | None:
    if not os.path.lexists(os.path.realpath(target)):
        return None
    if not target.is_dir():
        return Refusal("file", target)
    mark = read_mark(target)
    try:
        names = [name for name in files_in(target) if not (hidden_stay and name.startswith("."))]
        folders = any(path.is_dir() for path in target.iterdir())
    except OSError as error:
        return Refusal("unreadable", target, error.strerror or "")
    if mark is None:
        return Refusal("foreign", target) if names or folders else None
    if mark.kind != kind:
        return Refusal("kind", target, WORDS[f"kinds.{mark.kind}"])
    foreign = added(mark, names)
    return Refusal("added", target, str(target / foreign[0])) if foreign else None
