"""Loading of a van file, its part sheets and workshop file into a `System`, each value with its location."""

import os
from dataclasses import dataclass
from pathlib import Path
from posixpath import dirname, join, normpath
from typing import Any

from pydantic import ValidationError

from vandoc.ground.errors import Location, Problem, SystemFileError
from vandoc.ground.messages import Messages
from vandoc.model.kinds import follow_packages
from vandoc.model.names import alike
from vandoc.model.references import Path as Trail
from vandoc.model.references import faults
from vandoc.model.system import System
from vandoc.reading import formats
from vandoc.reading.explain import dotted, explain, known_steps, locate, telling
from vandoc.reading.merging import PartSheets, name_shown, real
from vandoc.reading.pages import unreadable
from vandoc.reading.pictures import picture_fault
from vandoc.reading.workshop import FoundWorkshop, find, merged, read_copy, read_workshop
from vandoc.reading.yamltree import Node, parse, read_text

say = Messages("vandoc.reading", "loader").say


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
        Every file that was read or named: the van file, part sheets, pictures, workshop file, logo.
    tree : Node
        Values with their locations, in the newest format; part sheets and workshop file merged.
    written : Node
        The same as in the files, in their own format.
    workshop : FoundWorkshop or None
        The workshop file; None if there is none.
    """

    system: System
    path: Path
    files: tuple[Path, ...]
    tree: Node
    written: Node
    workshop: FoundWorkshop | None = None

    @property
    def sheet_folders(self) -> tuple[Path, ...]:
        """The workshop's folders of part sheets."""
        return self.workshop.folders if self.workshop else ()

    @property
    def logo(self) -> Path | None:
        """The workshop's logo; None if there is none, as in a copy."""
        return self.workshop.logo if self.workshop else None

    @property
    def folders(self) -> tuple[Path, ...]:
        """Folders that the files declare: those of the van file, part sheets, pictures and logo.

        The folder of the workshop file is not among them: it also holds other vans.
        """
        shop = self.workshop
        above = None if shop is None or shop.path is None else real(shop.path.parent)
        apart = set() if shop is None else {shop.path and real(shop.path), shop.logo}
        found = [file.parent for file in self.files if file not in apart]
        found += map(real, self.sheet_folders)
        if shop is not None and shop.logo is not None and shop.logo.parent != above:
            found.append(shop.logo.parent)
        return tuple(sorted(set(found)))

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
        With every problem of the file, its part sheets and its workshop file, each with its location.
    """
    follow_packages()
    base = real(shown_from or Path.cwd())
    shown = name_shown(path, base)
    raw = parse(read_text(path, shown) if text is None else text, shown)
    problems: list[Problem] = []
    shop = _workshop(path, shown, problems)
    sheets = PartSheets(path, base, problems, shop)
    tree, written = _read(raw, sheets, shop)
    files = [real(path), *sheets.sheets]
    if shop is not None and shop.path is not None:
        files += [real(shop.path), *filter(None, (shop.logo,))]
    plain = tree.plain()
    try:
        system = System.model_validate(plain)
    except ValidationError as error:
        details = telling(tree, error.errors(include_url=False))
        details = [detail for detail in details if detail["loc"][:2] not in sheets.without]
        if shop is not None and not shop.sound:  # what is missing may be in an entry that is not sound
            details = [detail for detail in details if not _lacks_contact(detail)]
        problems.extend(explain(tree, detail) for detail in details)
        broken = [*sheets.without, *(tuple(detail["loc"]) for detail in details)]
        problems.extend(_problems_of_the_rest(tree, plain, broken))
        raise SystemFileError(problems) from None
    problems.extend(_problem(tree, trail, message) for trail, message in faults(system))
    problems.extend(_alike(tree, trail, other) for trail, other in alike(system))
    _check_pictures(tree, system, path, files, problems)
    problems.extend(unreadable(real(path).parent / "pages", name_shown(path.parent / "pages", base)))
    if problems:
        raise SystemFileError(problems)
    return VanFile(system, path, tuple(dict.fromkeys(files)), tree, written, shop)


def load_copy(path: Path, raw: Node, sheets: Node, workshop: Node | None = None) -> VanFile:
    """Read a copy of a van file that contains its part sheets and workshop file; no pictures are required.

    Parameters
    ----------
    path : Path
        Path of the copy.
    raw : Node
        Its content in its own format, part sheets not merged.
    sheets : Node
        Mapping from the name of each part sheet, as in the file, to the content of the sheet.
    workshop : Node, optional
        Content of the workshop file.

    Raises
    ------
    SystemFileError
        With every problem of the copy.
    """
    follow_packages()
    problems: list[Problem] = []
    shop = None if workshop is None else read_copy(workshop, problems)
    tree, written = _read(raw, PartSheets(path, path.parent, problems, shop, sheets.value), shop)
    try:
        system = System.model_validate(tree.plain())
    except ValidationError as error:
        details = telling(tree, error.errors(include_url=False))
        raise SystemFileError(problems + [explain(tree, detail) for detail in details]) from None
    problems.extend(_problem(tree, trail, message) for trail, message in faults(system))
    if problems:
        raise SystemFileError(problems)
    return VanFile(system, path, (path,), tree, written, shop)


def _workshop(path: Path, shown: str, problems: list[Problem]) -> FoundWorkshop | None:
    found = find(path)
    if found is None:
        return None
    above = Path(os.path.relpath(found, real(path.parent))).as_posix()
    return read_workshop(found, normpath(join(dirname(shown), above)), problems)


def _lacks_contact(detail: Any) -> bool:
    return bool(detail["type"] == "missing" and detail["loc"][:1] == ("workshop",))


def _read(raw: Node, sheets: "PartSheets", shop: FoundWorkshop | None) -> tuple[Node, Node]:
    """Return a van file with all that it is read with, in the newest format, and as it is written."""
    tree = formats.converted(raw, "van", sheets.problems)
    if "house" in tree.value:  # ours to fill, from the workshop file
        sheets.problems.append(explain(tree, {"type": "extra_forbidden", "loc": ("house",)}))
        kept = {key: child for key, child in tree.value.items() if key != "house"}
        tree = Node(tree.location, kept, tree.keys)
    whole = sheets.merge(tree)
    written = whole if tree is raw and not sheets.converted else sheets.merge_written(raw)
    return (whole, written) if shop is None else (merged(whole, shop.tree), merged(written, shop.written))


def _check_pictures(
    tree: Node, system: System, path: Path, files: list[Path], problems: list[Problem]
) -> None:
    root = real(path.parent)
    for section in ("places", "equipment", "loads"):
        for ident, thing in getattr(system, section).items():
            if thing.picture is None:
                continue
            trail = (section, ident, "picture", "file")
            file = real(root / thing.picture.file)
            reason = picture_fault(file, root)
            if reason is None:
                files.append(file)
            else:
                problems.append(_problem(tree, trail, f"{thing.picture.file!r} {reason}"))


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
    what = (
        say("also", name=name, other=other[-1])
        if name == first
        else say("looks_like", name=name, first=first)
    )
    message = say("line_enter_names", what=what, owner=owner, line=first_place.line)
    return Problem(place, f"{dotted(trail)}: {message}")


def _named(tree: Node, trail: Trail) -> tuple[str, Location]:
    """Return a name and its location; if a part sheet gives it, that of the entry that uses the sheet."""
    _, node = known_steps(tree, trail)
    inside = node.location.file == tree.location.file
    return str(node.value).strip(), node.location if inside else locate(tree, trail[:-1], key=True)
