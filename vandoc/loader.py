"""A van file, with its part sheets, to a `System` whose every value knows where it stands."""

import os
import types
from dataclasses import dataclass
from difflib import get_close_matches
from pathlib import Path
from typing import Any, Literal, Union, get_args, get_origin

from pydantic import BaseModel, ValidationError

from vandoc.errors import Location, Problem, SystemFileError
from vandoc.model.references import Path as Trail
from vandoc.model.references import faults
from vandoc.model.system import System
from vandoc.yamltree import Node, parse, read_text

PICTURE_TYPES = {
    ".jpg": b"\xff\xd8\xff",
    ".jpeg": b"\xff\xd8\xff",
    ".png": b"\x89PNG\r\n\x1a\n",
    ".webp": b"RIFF",
}
MAX_PICTURE_BYTES = 8_000_000


@dataclass(frozen=True)
class VanFile:
    """A van file that was read and understood.

    Attributes
    ----------
    system : System
        What it says.
    path : Path
        The file.
    files : tuple[Path, ...]
        Every file that was read or named: itself, part sheets, pictures.
    tree : Node
        Its values with their places, part sheets merged in.
    """

    system: System
    path: Path
    files: tuple[Path, ...]
    tree: Node

    def locate(self, trail: Trail) -> Location:
        """Return where a value of the system stands; of what is left out, where its parent does."""
        return _locate(self.tree, trail, key=False)


def load(path: Path, shown_from: Path | None = None) -> VanFile:
    """Read a van file.

    Parameters
    ----------
    path : Path
        The van file.
    shown_from : Path, optional
        The folder that names in errors are relative to; the working folder when left out.

    Raises
    ------
    SystemFileError
        With every problem of the file and its part sheets, each with its place.
    """
    base = (shown_from or Path.cwd()).resolve()
    shown = _shown(path, base)
    tree = parse(read_text(path, shown), shown)
    problems: list[Problem] = []
    files = [path.resolve()]
    for section in ("equipment", "loads"):
        _merge_part_sheets(tree, section, path, base, files, problems)
    plain = tree.plain()
    try:
        system = System.model_validate(plain)
    except ValidationError as error:
        details = _telling(tree, error.errors(include_url=False))
        problems.extend(_explain(tree, detail) for detail in details)
        problems.extend(_problems_of_the_rest(tree, plain, [tuple(detail["loc"]) for detail in details]))
        raise SystemFileError(problems) from None
    problems.extend(_problem(tree, trail, message) for trail, message in faults(system))
    _check_pictures(tree, system, path, files, problems)
    if problems:
        raise SystemFileError(problems)
    return VanFile(system, path, tuple(dict.fromkeys(files)), tree)


def _shown(path: Path, base: Path) -> str:
    """The name to show: relative to `base`, always with forward slashes."""
    return Path(os.path.relpath(path.resolve(), base)).as_posix()


def _merge_part_sheets(
    tree: Node, section: str, path: Path, base: Path, files: list[Path], problems: list[Problem]
) -> None:
    entries = tree.value.get(section)
    if entries is None or not isinstance(entries.value, dict):
        return
    for ident, entry in entries.value.items():
        if not isinstance(entry.value, dict) or "part" not in entry.value:
            continue
        named = entry.value["part"]
        trail = f"{section}.{ident}.part"
        if not isinstance(named.value, str) or not named.value:
            continue
        relative = Path(named.value)
        if relative.is_absolute() or relative.suffix not in (".yml", ".yaml"):
            message = f"{named.value!r} is not a part sheet; name a .yml file relative to this one"
            problems.append(Problem(named.location, f"{trail}: {message}"))
            continue
        file = path.parent / relative
        if not file.is_file():
            problems.append(Problem(named.location, f"{trail}: there is no part sheet {named.value!r}"))
            continue
        files.append(file.resolve())
        shown = _shown(file, base)
        try:
            sheet = parse(read_text(file, shown), shown)
        except SystemFileError as error:
            problems.extend(error.problems)
            continue
        for key in ("place", "part"):
            if key in sheet.value:
                message = f"{key!r} belongs in the van file, not in a part sheet"
                problems.append(Problem(sheet.keys[key], message))
        entry.value = {**sheet.value, **entry.value}
        entry.keys = {**sheet.keys, **entry.keys}


def _check_pictures(
    tree: Node, system: System, path: Path, files: list[Path], problems: list[Problem]
) -> None:
    root = path.parent.resolve()
    for section in ("places", "equipment", "loads"):
        for ident, thing in getattr(system, section).items():
            if thing.picture is None:
                continue
            trail = (section, ident, "picture", "file")
            file = (root / thing.picture.file).resolve()
            reason = _picture_fault(file, root)
            if reason is None:
                files.append(file)
            else:
                problems.append(_problem(tree, trail, f"{thing.picture.file!r} {reason}"))


def _picture_fault(file: Path, root: Path) -> str | None:
    if not file.is_relative_to(root):
        return "must lie beside the van file"
    start = PICTURE_TYPES.get(file.suffix.lower())
    if start is None:
        return f"is not a picture; use {', '.join(PICTURE_TYPES)}"
    if not file.is_file():
        return "is not there"
    if file.stat().st_size > MAX_PICTURE_BYTES:
        return f"is over {MAX_PICTURE_BYTES // 1_000_000} MB"
    with file.open("rb") as stream:
        if not stream.read(16).startswith(start):
            return f"is not what its ending {file.suffix!r} says"
    return None


def _problems_of_the_rest(tree: Node, plain: Any, broken: list[Trail]) -> list[Problem]:
    """Check the references of the entries that are sound, so that one mistyped unit does not hide them.

    References to an entry that is broken itself are passed over: it is there, only unreadable.
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
    problems = []
    for trail, message in faults(rest):
        if trail[0] in places and isinstance(trail[1], int):
            trail = (trail[0], places[str(trail[0])][trail[1]], *trail[2:])
        _, node = _known_steps(tree, trail)
        if str(node.value).partition(".")[0] not in {str(name) for names in bad.values() for name in names}:
            problems.append(_problem(tree, trail, message))
    return problems


_STAND_IN = {
    "van": {"name": "x", "nominal": "12 V", "size": {"length": "999 m", "width": "999 m", "driver": "left"}},
    "workshop": {"name": "x"},
}


def _problem(tree: Node, trail: Trail, message: str) -> Problem:
    return Problem(_locate(tree, trail, key=False), f"{_dotted(trail)}: {message}")


def _dotted(trail: Trail) -> str:
    """`("circuits", 3, "cable", "length")` as `circuits[3].cable.length`."""
    text = ""
    for step in trail:
        text += f"[{step}]" if isinstance(step, int) else f".{step}"
    return text.removeprefix(".")


def _known_steps(tree: Node, trail: Trail) -> tuple[Trail, Node]:
    """The part of a path that exists in the file; the union members that pydantic names are skipped."""
    node, known = tree, []
    for step in trail:
        child: Node | None = None
        if isinstance(node.value, dict):
            child = node.value.get(str(step))
        elif isinstance(node.value, list) and isinstance(step, int) and step < len(node.value):
            child = node.value[step]
        if child is not None:
            node = child
            known.append(step)
    return tuple(known), node


def _locate(tree: Node, trail: Trail, *, key: bool) -> Location:
    known, node = _known_steps(tree, trail)
    if key and known:
        _, parent = _known_steps(tree, known[:-1])
        return parent.keys.get(str(known[-1]), node.location)
    return node.location


def _telling(tree: Node, details: list[Any]) -> list[Any]:
    """Leave out what only says that a value is not the other of two forms that its key may have."""
    forms = ("string_type", "model_type", "list_type")
    trails = [_known_steps(tree, tuple(detail["loc"]))[0] for detail in details]

    def told_elsewhere(number: int) -> bool:
        mine = trails[number]
        return any(
            trail[: len(mine)] == mine and (details[other]["type"] not in forms or other < number)
            for other, trail in enumerate(trails)
            if other != number
        )

    return [d for n, d in enumerate(details) if d["type"] not in forms or not told_elsewhere(n)]


def _explain(tree: Node, detail: Any) -> Problem:
    trail: Trail = tuple(detail["loc"])
    kind = detail["type"]
    known, node = _known_steps(tree, trail)
    label = _dotted(known) or "the file"
    if kind == "missing":
        where = _locate(tree, known, key=True)
        return Problem(where, f"{label}: {trail[-1]!r} is missing")
    if kind == "extra_forbidden":
        parents = _keys_at(tree, known[:-1])
        close = get_close_matches(str(trail[-1]), parents, 1)
        hint = (
            f"; did you mean {close[0]!r}?"
            if close
            else f"; known here: {', '.join(parents)}"
            if parents
            else ""
        )
        return Problem(_locate(tree, known, key=True), f"{label}: {str(trail[-1])!r} is not a key here{hint}")
    if kind == "value_error":
        return Problem(node.location, f"{label}: {detail['ctx']['error']}")
    if kind in ("union_tag_invalid", "union_tag_not_found"):
        kinds = detail["ctx"].get("expected_tags", "").replace("'", "") or ", ".join(_kinds())
        if kind == "union_tag_not_found":
            return Problem(
                _locate(tree, known, key=True), f"{label}: 'kind' is missing; it is one of {kinds}"
            )
        tag = detail["ctx"]["tag"]
        close = get_close_matches(str(tag), kinds.split(", "), 1)
        hint = f"; did you mean {close[0]!r}?" if close else f"; it is one of {kinds}"
        place = node.value["kind"].location if isinstance(node.value, dict) else node.location
        return Problem(place, f"{label}.kind: {tag!r} is not a kind of equipment{hint}")
    return Problem(node.location, f"{label}: {_plain_message(kind, detail)}")


def _plain_message(kind: str, detail: Any) -> str:
    context = detail.get("ctx", {})
    given = detail.get("input")
    shown = repr(given) if isinstance(given, str | int | float | bool) else "this"
    if kind == "literal_error":
        return f"{shown} is not one of {context['expected']}"
    if kind == "string_pattern_mismatch":
        hint = _PATTERN_HINTS.get(context["pattern"], context["pattern"])
        return f"{shown} is not written as it must be: {hint}"
    if kind in (
        "string_type",
        "int_type",
        "bool_type",
        "list_type",
        "dict_type",
        "model_type",
        "model_attributes_type",
    ):
        wanted = {
            "string_type": "text",
            "int_type": "a whole number",
            "bool_type": "true or false",
            "list_type": "a list",
        }.get(kind, "a group of 'key: value' lines")
        return f"{shown} must be {wanted}" if given is not None else f"a value is missing: {wanted}"
    if kind.startswith("date"):
        return f"{shown} is not a date; write it like 2026-05-12"
    message = detail["msg"]
    return f"{shown}: {message[0].lower()}{message[1:]}"


_PATTERN_HINTS = {
    r"^[a-z][a-z0-9]*(-[a-z0-9]+)*$": "lower-case words joined by hyphens, such as 'seat-box'",
    r"^[a-z][a-z0-9-]*(\.[a-z0-9+-]+)?$": "a piece and its terminal, such as 'house.+'",
    r"^[^\x00-\x1f\x7f]*$": "one line of text",
    r"^https?://[A-Za-z0-9._~:/?#@!$&()*+,;=%-]+$": "an address that begins with https://",
}


def _kinds() -> list[str]:
    from vandoc.model.equipment import AnyPiece

    return [get_args(piece.model_fields["kind"].annotation)[0] for piece in get_args(AnyPiece)]


def _keys_at(tree: Node, trail: Trail) -> list[str]:
    """The keys that the model knows at a path, to find the one that was meant."""
    _, node = _known_steps(tree, trail)
    model: Any = System
    for step in trail:
        model = _step_into(model, step)
    candidates = [
        member for member in _members(model) if isinstance(member, type) and issubclass(member, BaseModel)
    ]
    if len(candidates) > 1 and isinstance(node.value, dict) and "kind" in node.value:
        wanted = node.value["kind"].value
        candidates = [
            member
            for member in candidates
            if get_args(getattr(member.model_fields.get("kind"), "annotation", Literal[""])) == (wanted,)
        ]
    keys: dict[str, None] = {}
    for member in candidates:
        keys.update(dict.fromkeys(field.alias or name for name, field in member.model_fields.items()))
    return list(keys)


def _members(annotation: Any) -> list[Any]:
    if get_origin(annotation) in (Union, types.UnionType):
        return [member for part in get_args(annotation) for member in _members(part)]
    if hasattr(annotation, "__metadata__"):
        return _members(get_args(annotation)[0])
    return [annotation]


def _step_into(model: Any, step: str | int) -> Any:
    found: list[Any] = []
    for member in _members(model):
        if isinstance(member, type) and issubclass(member, BaseModel):
            found.extend(f.annotation for name, f in member.model_fields.items() if (f.alias or name) == step)
        elif get_origin(member) is dict:
            found.append(get_args(member)[1])
        elif get_origin(member) is list:
            found.append(get_args(member)[0])
    return Union[tuple(found)] if found else None  # noqa: UP007 - built at run time
