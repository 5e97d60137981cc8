"""Loading of a van file and its part sheets into a `System`, with the location of every value."""

import os
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from posixpath import dirname, join, normpath
from typing import Any

from pydantic import ValidationError

from vandoc.ground.errors import Location, Problem, SystemFileError
from vandoc.model.names import alike
from vandoc.model.references import Path as Trail
from vandoc.model.references import faults
from vandoc.model.system import System
from vandoc.reading import formats
from vandoc.reading.explain import dotted, explain, known_steps, locate, telling
from vandoc.reading.pages import unreadable
from vandoc.reading.part_sheets import sheet_file, sheet_shown
from vandoc.reading.yamltree import Node, parse, read_text

PICTURE_TYPES = {
    ".jpg": b"\xff\xd8\xff",
    ".jpeg": b"\xff\xd8\xff",
    ".png": b"\x89PNG\r\n\x1a\n",
    ".webp": b"RIFF",
}
MAX_PICTURE_BYTES = 8_000_000


@dataclass(frozen=True)
class VanFile:
    """Van file after loading and validation.

    Attributes
    ----------
    system : System
        System that the file describes.
    path : Path
        Path of the file.
    files : tuple[Path, ...]
        Every file that was read or named: the van file, part sheets, pictures.
    tree : Node
        Values with their locations, in the newest format, part sheets merged.
    written : Node
        The same as in the files, in their own format.
    """

    system: System
    path: Path
    files: tuple[Path, ...]
    tree: Node
    written: Node

    def locate(self, trail: Trail) -> Location:
        """Return the location of a value of the system; for a missing value, that of its parent."""
        return locate(self.tree, trail, key=False)


def load(path: Path, shown_from: Path | None = None, text: str | None = None) -> VanFile:
    """Read a van file.

    Parameters
    ----------
    path : Path
        The van file.
    shown_from : Path, optional
        Folder to which file names in errors are relative (default: the working folder).
    text : str, optional
        Text to read instead of the file's content.

    Raises
    ------
    SystemFileError
        With every problem of the file and its part sheets, each with its location.
    """
    base = _real(shown_from or Path.cwd())
    shown = _shown(path, base)
    raw = parse(read_text(path, shown) if text is None else text, shown)
    problems: list[Problem] = []
    sheets = _PartSheets(path, base, problems)
    tree, written = _read(raw, sheets)
    files = [_real(path), *sheets.sheets]
    plain = tree.plain()
    try:
        system = System.model_validate(plain)
    except ValidationError as error:
        details = telling(tree, error.errors(include_url=False))
        details = [detail for detail in details if detail["loc"][:2] not in sheets.without]
        problems.extend(explain(tree, detail) for detail in details)
        broken = [*sheets.without, *(tuple(detail["loc"]) for detail in details)]
        problems.extend(_problems_of_the_rest(tree, plain, broken))
        raise SystemFileError(problems) from None
    problems.extend(_problem(tree, trail, message) for trail, message in faults(system))
    problems.extend(_alike(tree, trail, other) for trail, other in alike(system))
    _check_pictures(tree, system, path, files, problems)
    problems.extend(unreadable(_real(path).parent / "pages", _shown(path.parent / "pages", base)))
    if problems:
        raise SystemFileError(problems)
    return VanFile(system, path, tuple(dict.fromkeys(files)), tree, written)


def load_copy(path: Path, raw: Node, sheets: Node) -> VanFile:
    """Read a copy of a van file that contains its part sheets; its pictures are not required.

    Parameters
    ----------
    path : Path
        Path of the copy.
    raw : Node
        Its content in its own format, part sheets not merged.
    sheets : Node
        Mapping from the name of each part sheet, as in the file, to the content of the sheet.

    Raises
    ------
    SystemFileError
        With every problem of the copy.
    """
    problems: list[Problem] = []
    tree, written = _read(raw, _PartSheets(path, path.parent, problems, sheets.value))
    try:
        system = System.model_validate(tree.plain())
    except ValidationError as error:
        details = telling(tree, error.errors(include_url=False))
        raise SystemFileError(problems + [explain(tree, detail) for detail in details]) from None
    problems.extend(_problem(tree, trail, message) for trail, message in faults(system))
    if problems:
        raise SystemFileError(problems)
    return VanFile(system, path, (path,), tree, written)


def _read(raw: Node, sheets: "_PartSheets") -> tuple[Node, Node]:
    """Return a van file with its part sheets in the newest format, and as they are written."""
    tree = formats.converted(raw, "van", sheets.problems)
    merged = sheets.merge(tree)
    written = merged if tree is raw and not sheets.converted else sheets.merge_written(raw)
    return merged, written


def _shown(path: Path, base: Path) -> str:
    """The name to show: relative to `base`, with forward slashes; a link under its own name."""
    return Path(os.path.relpath(_real(path.parent) / path.name, base)).as_posix()


class _PartSheets:
    """Merges the keys of part sheets into the entries that name them; each sheet is read once."""

    def __init__(
        self, path: Path, base: Path, problems: list[Problem], inside: dict[str, Node] | None = None
    ) -> None:
        self.inside = inside  # sheets contained in the file, by name
        self.path = path
        self.shown = _shown(path, base)
        self.problems = problems
        self.sheets: dict[Path, _Sheet | None] = {}
        self.named: dict[str, _Sheet | None] = {}  # by the name in the file
        self.without: set[Trail] = set()  # entries whose sheet is unavailable

    @property
    def converted(self) -> bool:
        """Whether a sheet is in an older format and says something else in the newest."""
        return any(sheet is not None and sheet.newest is not sheet.written for sheet in self.named.values())

    def merge(self, tree: Node) -> Node:
        """Return a van file with the keys of its part sheets, both in the newest format."""

        def sheet_of(trail: Trail, named: Node) -> Node | None:
            if named.value not in self.named:
                self.named[named.value] = self._sheet(named, dotted(trail))
            sheet = self.named[named.value]
            if sheet is None:
                self.without.add(trail[:2])
                return None
            return sheet.newest

        return _merged(tree, sheet_of)

    def merge_written(self, raw: Node) -> Node:
        """Return the same as it is written; sheets have been read before."""

        def sheet_of(_trail: Trail, named: Node) -> Node | None:
            sheet = self.named.get(named.value)
            return None if sheet is None else sheet.written

        return _merged(raw, sheet_of)

    def _sheet(self, named: Node, trail: str) -> "_Sheet | None":
        if self.inside is not None:
            if named.value not in self.inside:
                message = f"this copy has no part sheet {named.value!r}; restore the copy from a backup"
                self.problems.append(Problem(named.location, f"{trail}: {message}"))
                return None
            return self._converted(self.inside[named.value])
        relative = Path(named.value)
        if relative.is_absolute() or relative.suffix not in (".yml", ".yaml"):
            message = (
                f"{named.value!r} is not a part sheet; "
                "enter the path of a .yml file, relative to the van file"
            )
            self.problems.append(Problem(named.location, f"{trail}: {message}"))
            return None
        file = sheet_file(self.path, relative.as_posix())
        if not _is_file(file):
            message = f"{trail}: part sheet {named.value!r} not found; check its path"
            self.problems.append(Problem(named.location, message))
            return None
        file = _real(file)
        if file not in self.sheets:
            self.sheets[file] = self._read(file, relative)
        return self.sheets[file]

    def _read(self, file: Path, named: Path) -> "_Sheet | None":
        # As named in the van file, without resolving links, because the findings are published.
        shown = normpath(join(dirname(self.shown), sheet_shown(self.path, named.as_posix())))
        try:
            return self._converted(parse(read_text(file, shown), shown))
        except SystemFileError as error:
            self.problems.extend(error.problems)
            return None

    def _converted(self, raw: Node) -> "_Sheet | None":
        try:
            newest = formats.converted(raw, "sheet", self.problems)
        except SystemFileError as error:
            self.problems.extend(error.problems)
            return None
        for key in ("place", "part"):
            if key in newest.value:
                message = f"{key!r} belongs in the van file, not in a part sheet; move it there"
                self.problems.append(Problem(newest.keys[key], message))
        written = formats.unnumbered(raw)
        return _Sheet(written if newest is raw else formats.unnumbered(newest), written)


@dataclass(frozen=True)
class _Sheet:
    """A part sheet in the newest format, and as it is written; neither with the number of its format."""

    newest: Node
    written: Node


def _merged(tree: Node, sheet_of: Callable[[Trail, Node], Node | None]) -> Node:
    """Return a van file whose entries have, under their own keys, those of the part sheet that they name."""
    sections = dict(tree.value)
    for section in ("equipment", "loads"):
        entries = sections.get(section)
        if entries is None or not isinstance(entries.value, dict):
            continue
        filled = dict(entries.value)
        for ident, entry in entries.value.items():
            named = entry.value.get("part") if isinstance(entry.value, dict) else None
            if named is None or not isinstance(named.value, str) or not named.value:
                continue
            sheet = sheet_of((section, ident, "part"), named)
            if sheet is not None:
                value, keys = {**sheet.value, **entry.value}, {**sheet.keys, **entry.keys}
                filled[ident] = Node(entry.location, value, keys)
        sections[section] = Node(entries.location, filled, entries.keys)
    return Node(tree.location, sections, tree.keys)


def _real(path: Path) -> Path:
    """Resolve links and dots in a path; a loop of links is reported when the file is opened."""
    return Path(os.path.realpath(path))


def _is_file(path: Path) -> bool:
    """Whether a file exists; False for a name that the file system rejects."""
    try:
        return path.is_file()
    except OSError:
        return False


def _check_pictures(
    tree: Node, system: System, path: Path, files: list[Path], problems: list[Problem]
) -> None:
    root = _real(path.parent)
    for section in ("places", "equipment", "loads"):
        for ident, thing in getattr(system, section).items():
            if thing.picture is None:
                continue
            trail = (section, ident, "picture", "file")
            file = _real(root / thing.picture.file)
            reason = _picture_fault(file, root)
            if reason is None:
                files.append(file)
            else:
                problems.append(_problem(tree, trail, f"{thing.picture.file!r} {reason}"))


def _picture_fault(file: Path, root: Path) -> str | None:
    if not file.is_relative_to(root):
        return "is outside the folder of the van file; move it there"
    start = PICTURE_TYPES.get(file.suffix.lower())
    if start is None:
        return f"is not a picture; use one of {', '.join(PICTURE_TYPES)}"
    if not _is_file(file):
        return "was not found; check its path"
    try:
        if file.stat().st_size > MAX_PICTURE_BYTES:
            return f"is over {MAX_PICTURE_BYTES // 1_000_000} MB; reduce its size"
        with file.open("rb") as stream:
            if not stream.read(16).startswith(start):
                return f"is not in the format of its extension {file.suffix!r}; save it again in that format"
    except OSError as error:
        return f"cannot be read: {error.strerror}"
    return None


def _problems_of_the_rest(tree: Node, plain: Any, broken: list[Trail]) -> list[Problem]:
    """Check references between valid entries even if others are invalid, so that all errors appear at once.

    References to an invalid entry are skipped: it exists but could not be read.
    """
    plain = {key: value for key, value in plain.items() if key in System.model_fields}
    bad: dict[str, set[str | int]] = {}
    for trail in broken:
        if trail:
            bad.setdefault(str(trail[0]), set()).update(trail[1:2])
    places: dict[str, list[int]] = {}
    for section, entries in bad.items():
        value = plain.get(section)
        if section in ("van", "workshop"):
            plain[section] = _STAND_IN[section]
        elif isinstance(value, dict) and section in ("places", "equipment", "loads"):
            plain[section] = {name: entry for name, entry in value.items() if name not in entries}
        elif isinstance(value, list) and section in ("cables", "circuits"):
            places[section] = [index for index in range(len(value)) if index not in entries]
            plain[section] = [value[index] for index in places[section]]
        else:
            plain.pop(section, None)
    try:
        rest = System.model_validate(plain)
    except ValidationError:
        return []

    def placed(trail: Trail) -> Trail:
        if trail[0] in places and isinstance(trail[1], int):
            return (trail[0], places[str(trail[0])][trail[1]], *trail[2:])
        return trail

    problems = [_alike(tree, placed(trail), placed(other)) for trail, other in alike(rest)]
    for trail, message in faults(rest):
        trail = placed(trail)
        _, node = known_steps(tree, trail)
        if str(node.value).partition(".")[0] not in {str(name) for names in bad.values() for name in names}:
            problems.append(_problem(tree, trail, message))
    return problems


_STAND_IN = {
    "van": {"name": "x", "nominal": "12 V", "size": {"length": "999 m", "width": "999 m", "driver": "left"}},
    "workshop": {"name": "x"},
}


def _problem(tree: Node, trail: Trail, message: str) -> Problem:
    return Problem(locate(tree, trail, key=False), f"{dotted(trail)}: {message}")


def _alike(tree: Node, trail: Trail, other: Trail) -> Problem:
    """Return the problem that two names cannot be told apart; both places are in the van file itself."""
    (name, place), (first, first_place) = (_named(tree, one) for one in (trail, other))
    owner = dotted(other[:-1])
    what = f"{name!r} is also the {other[-1]} of" if name == first else f"{name!r} looks like {first!r},"
    message = f"{what} {owner} on line {first_place.line}; enter names that the owner can tell apart"
    return Problem(place, f"{dotted(trail)}: {message}")


def _named(tree: Node, trail: Trail) -> tuple[str, Location]:
    """Return a name and its location; if a part sheet gives it, that of the entry that uses the sheet."""
    _, node = known_steps(tree, trail)
    inside = node.location.file == tree.location.file
    return str(node.value).strip(), node.location if inside else locate(tree, trail[:-1], key=True)
