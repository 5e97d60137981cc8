"""Reading of archived copies, and the problems found in them."""

from collections.abc import Iterator
from contextlib import suppress
from dataclasses import dataclass, field
from datetime import date
from pathlib import Path
from posixpath import dirname, join
from typing import Any

from vandoc.ground.disk import locked
from vandoc.ground.errors import Location, Problem, SystemFileError, VandocError
from vandoc.ground.extensions import Package
from vandoc.reading.archive.interrupted import PENDING, is_as_read, is_finished, settle
from vandoc.reading.archive.revision import SEAL, Revision, folder_of, mark_of, name_of, seal_of
from vandoc.reading.archive.words import say
from vandoc.reading.loader import VanFile
from vandoc.reading.yamltree import Node, parse, read_text

KEYS = {"revision", "date", "why", "before", "content"}


@dataclass
class History:
    """Archive of a van file.

    Attributes
    ----------
    sound : dict of Revision
        By number, in order: copies that are readable and consistent with their neighbours.
    unusable : list of int
        Numbers of copies that are damaged or missing.
    strays : list of Path
        Other files in the folder.
    problems : list of Problem
    """

    sound: dict[int, Revision] = field(default_factory=dict)
    unusable: list[int] = field(default_factory=list)
    strays: list[Path] = field(default_factory=list)
    problems: list[Problem] = field(default_factory=list)


def revisions(van_file: VanFile) -> tuple[Revision, ...]:
    """Return the archived copies of a van file, oldest first; none if it has no archive folder.

    A step that an earlier run did not finish is completed or undone first.

    Raises
    ------
    SystemFileError
        If a copy is missing, was edited, or does not match its neighbours or the van file.
    """
    settle(van_file)
    history = examine(van_file)
    if history.problems:  # if history.problems:  # another command may have been writing at that moment
        with suppress(VandocError), locked(van_file.path.parent):
            history = examine(van_file)
    if history.problems and not is_as_read(van_file):
        message = say("reading.changed_another")
        raise SystemFileError([Problem(van_file.tree.location, message)])
    if history.problems:
        raise SystemFileError(history.problems)
    return tuple(history.sound.values())


def examine(van_file: VanFile) -> History:
    """Return the readable archived copies, and every problem found in the archive."""
    folder = folder_of(van_file.path)
    wanted = van_file.system.van.revision
    history = History()
    found = dict(_found(van_file, folder, history))
    pending = folder / f"{name_of(wanted)}{PENDING}"
    with suppress(OSError):  # an unreadable folder is already reported
        if wanted not in found and pending.is_file() and is_finished(van_file, pending):
            found[wanted] = pending
    if not found and not van_file.system.van.archived:
        return history
    read = {number: _read(van_file, number, path, history) for number, path in sorted(found.items())}
    lost = {number for one in read.values() if one is not None for number in one.lost}
    history.problems = [
        problem
        for problem in history.problems
        if problem.location.file not in {_shown(van_file, found[number]) for number in lost & found.keys()}
    ]
    for number in sorted({*range(min(found, default=wanted), wanted + 1), *found}):
        one = read.get(number)
        if number in lost:
            after = read.get(number + 1)
            if one is not None and after is not None and after.before == one.mark:
                history.sound[number] = one  # restored from a backup since
            continue
        if one is not None:
            history.sound[number] = one
            continue
        if number > wanted:  # the van file never had this number
            history.strays.append(found[number])
        else:
            history.unusable.append(number)
        if not found:
            history.problems.append(Problem(van_file.locate(("van", "archived")), _all_gone(number, folder)))
        elif number not in found:
            _wrong(
                van_file,
                history,
                folder / name_of(number),
                say("reading.revision_missing", number=number, remedy=_remedy()),
            )
    _compare(van_file, history)
    return history


def _found(van_file: VanFile, folder: Path, history: History) -> Iterator[tuple[int, Path]]:
    try:
        names = sorted(path.name for path in folder.iterdir()) if folder.is_dir() else []
    except OSError as error:
        _wrong(van_file, history, folder, say("reading.folder_revisions", reason=error.strerror))
        return
    for path in (folder / name for name in names if name.endswith(".yml") and not name.startswith(".")):
        number = int(path.stem) if path.stem.isdecimal() and len(path.stem) < 8 else 0
        if number and path.name == name_of(number):
            yield number, path
        else:
            history.strays.append(path)
            _wrong(
                van_file,
                history,
                path,
                say("reading.not_revision_file", value=name_of(1)),
            )


def _compare(van_file: VanFile, history: History) -> None:
    """Compare each copy with its predecessor, and the newest with the van file."""
    wanted = van_file.system.van.revision
    newest = max(history.sound, default=wanted)
    if newest > wanted:
        history.problems.append(
            Problem(
                van_file.locate(("van", "revision")),
                say("reading.van_revision_behind", wanted=wanted, newest=newest),
            )
        )
    for number, one in list(history.sound.items()):
        earlier = history.sound.get(number - 1)
        if earlier is not None and one.before != earlier.mark:
            history.unusable.append(number - 1)
            history.sound.pop(number - 1)
            _wrong(
                van_file,
                history,
                one.path,
                say(
                    "reading.revision_archived_but",
                    number=number,
                    before=one.before or say("reading.no_other"),
                    previous=number - 1,
                    mark=earlier.mark,
                    wanted=one.before,
                ),
            )


def _wrong(van_file: VanFile, history: History, path: Path, message: str, line: int = 1) -> None:
    history.problems.append(Problem(Location(_shown(van_file, path), line, 1), message))


def _shown(van_file: VanFile, path: Path) -> str:
    folder = dirname(van_file.tree.location.file)
    return str(Location(join(folder, *path.relative_to(van_file.path.parent).parts), 1, 1).file)


def _read(van_file: VanFile, number: int, path: Path, history: History) -> Revision | None:
    shown = _shown(van_file, path)
    try:
        text = read_text(path, shown)
    except SystemFileError as error:
        history.problems.extend(error.problems)
        return None
    seal = SEAL.search(text)
    if seal is None or seal_of(text[: seal.start()]) != seal[1]:
        _wrong(
            van_file,
            history,
            path,
            say("reading.revision_changed", number=number, remedy=_remedy()),
        )
        return None
    try:
        head = _head(text, shown)
    except SystemFileError as error:
        for problem in error.problems:
            history.problems.append(Problem(problem.location, f"{problem.message}; {_remedy()}"))
        return None
    if head["revision"] != number:
        _wrong(
            van_file,
            history,
            path,
            say("reading.revision_not", revision=head["revision"], number=number, remedy=_remedy()),
        )
        return None
    return Revision(
        number,
        head["date"],
        head["why"],
        head["before"],
        head["content"],
        mark_of(number, seal[1]),
        path,
        text,
        tuple(head.get("lost", ())),
        tuple(Package(name, version) for name, version in head.get("packages", {}).items()),
    )


def _head(text: str, shown: str) -> dict[str, Any]:
    """Return the metadata in the last lines of a copy; the rest is not read.

    Raises
    ------
    SystemFileError
        With the location of the text that cannot be read.
    """
    before, found, tail = text.rpartition("\narchived: ")
    line = before.count("\n") + 2

    def fail(place: Location, message: str) -> SystemFileError:
        moved = Location(shown, max(line + place.line - 2, 1), place.column)
        return SystemFileError([Problem(moved, message)])

    if not found:
        where = Location(shown, 1, 1)
        raise SystemFileError([Problem(where, say("reading.copy_does_not_say"))])
    try:
        tree = parse(f"archived:\n  {tail}", shown).value["archived"]
    except SystemFileError as error:
        raise fail(error.problems[0].location, error.problems[0].message) from error
    head = tree.plain()
    if not isinstance(head, dict) or not KEYS <= head.keys() <= KEYS | {"lost", "packages"}:
        raise fail(tree.location, say("reading.archived_these_are_not"))
    for key, node in tree.value.items():
        if not _fits(key, head[key]):
            raise fail(node.location, say("reading.archived_not_valid", key=key, head=head[key]))
    return {**head, "date": _day(tree.value["date"])}


def _day(node: Node) -> date | None:
    try:
        return date.fromisoformat(node.value) if isinstance(node.value, str) else None
    except ValueError:
        return None


def _fits(key: str, value: Any) -> bool:
    """Whether an entry of the metadata has the format in which it was written."""
    match key:
        case "revision":
            return isinstance(value, int) and not isinstance(value, bool)
        case "date":
            return _day(Node(Location("", 1, 1), value)) is not None
        case "before":
            return value is None or isinstance(value, str)
        case "lost":
            return isinstance(value, list) and all(isinstance(number, int) for number in value)
        case "packages":
            return isinstance(value, dict) and all(isinstance(version, str) for version in value.values())
    return isinstance(value, str)


def _all_gone(number: int, folder: Path) -> str:
    copy = f"{folder.name}/{name_of(number)}"
    return say("reading.no_revision_left", number=number, copy=copy, remedy=_remedy())


def _remedy() -> str:
    return say("reading.restore_from_backup")
