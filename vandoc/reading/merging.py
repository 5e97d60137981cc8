"""Part sheets merged into the entries of a van file that name them."""

import os
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from posixpath import dirname, join, normpath

from vandoc.ground.errors import Problem, SystemFileError
from vandoc.ground.messages import Messages
from vandoc.model.references import Path as Trail
from vandoc.reading import formats
from vandoc.reading.explain import dotted
from vandoc.reading.part_sheets import sheet_file, sheet_shown
from vandoc.reading.workshop import FoundWorkshop
from vandoc.reading.yamltree import Node, parse, read_text

say = Messages("vandoc.reading", "merging").say


def name_shown(path: Path, base: Path) -> str:
    """The name to show: relative to `base`, with forward slashes; a link under its own name."""
    return Path(os.path.relpath(real(path.parent) / path.name, base)).as_posix()


def real(path: Path) -> Path:
    """Resolve links and dots in a path; a loop of links is reported when the file is opened."""
    return Path(os.path.realpath(path))


class PartSheets:
    """Merges the keys of part sheets into the entries that name them; each sheet is read once."""

    def __init__(
        self,
        path: Path,
        base: Path,
        problems: list[Problem],
        shop: FoundWorkshop | None,
        inside: dict[str, Node] | None = None,
    ) -> None:
        self.folders = shop.folders if shop else ()
        self.doubtful = shop is not None and not shop.sound  # whether folders may be missing
        self.inside = inside  # sheets contained in the file, by name
        self.path = path
        self.shown = name_shown(path, base)
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
                message = say("copy_no_part_sheet", value=named.value)
                self.problems.append(Problem(named.location, f"{trail}: {message}"))
                return None
            return self._converted(self.inside[named.value])
        relative = Path(named.value)
        if relative.is_absolute() or relative.suffix not in (".yml", ".yaml"):
            message = say("not_part_sheet_enter", value=named.value)
            self.problems.append(Problem(named.location, f"{trail}: {message}"))
            return None
        file = sheet_file(self.path, relative.as_posix(), self.folders)
        if not _is_file(file):
            if self.doubtful:
                return None
            message = say("part_sheet_not_found", trail=trail, value=named.value)
            self.problems.append(Problem(named.location, message))
            return None
        file = real(file)
        if file not in self.sheets:
            self.sheets[file] = self._read(file, relative)
        return self.sheets[file]

    def _read(self, file: Path, named: Path) -> "_Sheet | None":
        # As named in the van file, without resolving links, because the findings are published.
        name = sheet_shown(self.path, named.as_posix(), self.folders)
        shown = normpath(join(dirname(self.shown), name))
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
                message = say("belongs_van_file_not", key=key)
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


def _is_file(path: Path) -> bool:
    """Whether a file exists; False for a name that the file system rejects."""
    try:
        return path.is_file()
    except OSError:
        return False
