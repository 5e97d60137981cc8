"""Reading of a workshop file, with every problem in it."""

import os
from dataclasses import dataclass
from pathlib import Path

from pydantic import ValidationError

from vandoc.ground.errors import Location, Problem, SystemFileError
from vandoc.ground.messages import Messages
from vandoc.model.workshop import WorkshopFile
from vandoc.reading import formats
from vandoc.reading.explain import explain, telling
from vandoc.reading.pictures import picture_fault
from vandoc.reading.workshop.folders import declared, folder_fault
from vandoc.reading.yamltree import Node, parse, read_text

WORDS = Messages("vandoc.reading.workshop", "workshop")


@dataclass(frozen=True)
class FoundWorkshop:
    """A workshop file, or the copy of one that a revision keeps.

    Attributes
    ----------
    path : Path or None
        None for a copy.
    text : str
        Its content.
    tree : Node
        Its sound entries, in the newest format.
    written : Node
        The same as they are written, in the file's own format.
    folders : tuple of Path
        Folders of part sheets.
    logo : Path or None
    sound : bool
        Whether all its entries are sound.
    """

    path: Path | None
    text: str
    tree: Node
    written: Node
    folders: tuple[Path, ...] = ()
    logo: Path | None = None
    sound: bool = True


def read_workshop(path: Path, shown: str, problems: list[Problem]) -> FoundWorkshop:
    """Read a workshop file.

    Parameters
    ----------
    path : Path
    shown : str
        File name to show in errors.
    problems : list of Problem
        Takes every problem of the file; the entries concerned are left out.
    """
    try:
        text = _text(path, shown)
        raw = parse(text, shown)
    except SystemFileError as error:
        problems.extend(error.problems)
        nothing = Node(Location(shown, 1, 1), {})
        return FoundWorkshop(path, "", nothing, nothing, sound=False)
    before = len(problems)
    tree, written = _checked(raw, problems)
    folders = []
    for number, entry, folder in declared(path, tree):
        fault = folder_fault(path, folder, entry.value)
        if fault is None:
            folders.append(folder)
        else:
            message = WORDS.say(fault, value=repr(entry.value))
            problems.append(Problem(entry.location, f"part_sheets[{number}]: {message}"))
    logo = _logo(path, tree, problems)
    return FoundWorkshop(path, text, tree, written, tuple(folders), logo, len(problems) == before)


def read_copy(raw: Node, problems: list[Problem]) -> FoundWorkshop:
    """Read the copy of a workshop file that a revision keeps; folders and logo are not required."""
    before = len(problems)
    tree, written = _checked(raw, problems)
    return FoundWorkshop(None, "", tree, written, sound=len(problems) == before)


def _text(path: Path, shown: str) -> str:
    """Read the file's text; a link may lead to a file elsewhere."""
    start = Location(shown, 1, 1)
    try:
        if not path.is_file():
            raise SystemFileError([Problem(start, WORDS.say("not-a-file"))])
        path.open("rb").close()
    except OSError as error:
        raise SystemFileError([Problem(start, WORDS.say("unreadable", reason=error.strerror))]) from error
    return read_text(path, shown)


def _checked(raw: Node, problems: list[Problem]) -> tuple[Node, Node]:
    """Return the sound entries in the newest format and as they are written."""
    try:
        tree = formats.converted(raw, "workshop", problems)
    except SystemFileError as error:
        problems.extend(error.problems)
        nothing = Node(raw.location, {})
        return nothing, nothing
    try:
        WorkshopFile.model_validate(tree.plain())
    except ValidationError as error:
        details = telling(tree, error.errors(include_url=False))
        problems.extend(explain(tree, detail, WorkshopFile) for detail in details)
        broken = {str(detail["loc"][0]) for detail in details if detail["loc"]}
        tree = _without(tree, broken or set(tree.value))
    return formats.unnumbered(tree), formats.unnumbered(raw)


def _without(tree: Node, keys: set[str]) -> Node:
    value = {key: child for key, child in tree.value.items() if key not in keys}
    return Node(tree.location, value, {key: place for key, place in tree.keys.items() if key not in keys})


def _logo(path: Path, tree: Node, problems: list[Problem]) -> Path | None:
    if "logo" not in tree.value:
        return None
    named = tree.value["logo"].value["file"]
    root = Path(os.path.realpath(path.parent))
    file = Path(os.path.realpath(root / named.value))
    fault = picture_fault(file, root, "workshop_file")
    if fault is None:
        return file
    problems.append(Problem(named.location, f"logo.file: {named.value!r} {fault}"))
    return None
