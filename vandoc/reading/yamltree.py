"""Parse YAML text into a tree with the location of each value.

Built from parser events with an explicit stack, so that deep nesting cannot exhaust Python's own; aliases,
tags and repeated keys are rejected, and a plain scalar becomes a number or a boolean only if unambiguous
(`on`, `12:30` and `010` remain text).
"""

import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import yaml

from vandoc.ground.errors import Location, Problem, SystemFileError
from vandoc.ground.messages import Messages

say = Messages("vandoc.reading", "yamltree").say

MAX_BYTES = 1_000_000
MAX_DEPTH = 20

_LOADER: Any = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
_NUMBER = re.compile(r"[+-]?(0|[1-9]\d{0,14})(\.\d{1,15})?")
_WORDS: dict[str, bool | None] = {"true": True, "false": False, "null": None, "~": None, "": None}


@dataclass
class Node:
    """A mapping, list or scalar with its location.

    Attributes
    ----------
    location : Location
        Start of the value.
    value : str, int, float, bool, None, dict[str, Node] or list[Node]
        Scalar, or the children.
    keys : dict[str, Location]
        For a mapping, the location of each key.
    """

    location: Location
    value: Any
    keys: dict[str, Location] = field(default_factory=dict)

    def plain(self) -> Any:
        """Return the value without locations."""
        if isinstance(self.value, dict):
            return {key: child.plain() for key, child in self.value.items()}
        if isinstance(self.value, list):
            return [child.plain() for child in self.value]
        return self.value


def read_text(path: Path, shown: str) -> str:
    """Read a UTF-8 text file of limited size.

    Raises
    ------
    SystemFileError
        With the location of the first byte that is not UTF-8, or the reason why the file cannot be read.
    """
    return decoded(read_raw(path, shown), shown)


def read_raw(path: Path, shown: str) -> bytes:
    """Read a file of limited size as bytes.

    Raises
    ------
    SystemFileError
        With the reason why the file cannot be read.
    """

    def fail(message: str) -> SystemFileError:
        return SystemFileError([Problem(Location(shown, 1, 1), message)])

    try:
        if path.is_dir():
            raise fail(say("folder_give_van"))
        if not path.is_file() and path.exists():
            raise fail(say("not_regular_file_give"))
        if path.stat().st_size > MAX_BYTES:
            raise fail(say("file_over_kb_give_van", kb=MAX_BYTES // 1000))
        return path.read_bytes()
    except FileNotFoundError as error:
        raise fail(say("file_not_found_check")) from error
    except OSError as error:
        raise fail(say("file_cannot_read", reason=error.strerror)) from error


def decoded(raw: bytes, shown: str) -> str:
    """Decode the content of a file.

    Raises
    ------
    SystemFileError
        With the location of the first byte that is not UTF-8.
    """
    try:
        return raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        before = raw[: error.start]
        line = before.count(b"\n") + 1
        column = len(before) - (before.rfind(b"\n") + 1) + 1
        place = Location(shown, line, column)
        problem = Problem(place, say("byte_not_utf_8_text"))
        raise SystemFileError([problem]) from error


def parse(text: str, shown: str) -> Node:
    """Parse YAML text into a tree.

    Parameters
    ----------
    text : str
        Text of a van file or part sheet.
    shown : str
        File name to show in errors.

    Raises
    ------
    SystemFileError
        With all repeated keys, aliases and tags together, or the first location of a YAML syntax error.
    """
    problems: list[Problem] = []
    try:
        root = _build(yaml.parse(text, Loader=_LOADER), shown, problems)
    except yaml.MarkedYAMLError as error:
        mark = error.problem_mark or error.context_mark
        place = Location(shown, mark.line + 1, mark.column + 1) if mark else Location(shown, 1, 1)
        tab = "\t" in text.splitlines()[mark.line] if mark and mark.line < len(text.splitlines()) else False
        hint = say("indent_spaces_not_tabs") if tab else ""
        problems.append(Problem(place, say("not_valid_yaml", problem=error.problem, hint=hint)))
        raise SystemFileError(problems) from error
    except (yaml.reader.ReaderError, ValueError) as error:
        reason = getattr(error, "reason", str(error))
        problems.append(Problem(_reader_location(text, error, shown), say("not_valid_yaml_2", reason=reason)))
        raise SystemFileError(problems) from error
    if root is None or root.value is None:
        problems.append(Problem(Location(shown, 1, 1), say("file_empty_create")))
    elif not isinstance(root.value, dict):
        problems.append(Problem(root.location, say("top_level_file_must")))
    if problems or root is None:
        raise SystemFileError(problems)
    return root


def _reader_location(text: str, error: Exception, shown: str) -> Location:
    position = getattr(error, "position", None)
    if not isinstance(position, int):
        return Location(shown, 1, 1)
    before = text[:position]
    return Location(shown, before.count("\n") + 1, position - (before.rfind("\n") + 1) + 1)


def unwritable(text: str) -> str | None:
    """Return the first character that YAML does not permit (YAML 1.1, 5.1), or None.

    Examples
    --------
    >>> unwritable("a\\x07b"), unwritable("6 mm²")
    ('\\x07', None)
    """
    found = yaml.reader.Reader.NON_PRINTABLE.search(text)
    return found[0] if found else None


def stays_text(text: str) -> bool:
    """Whether a plain value is read as text, not as a number, boolean or null.

    Examples
    --------
    >>> stays_text("4.2 m"), stays_text("4.2"), stays_text("true")
    (True, False, False)
    """
    return text not in _WORDS and not _NUMBER.fullmatch(text)


def _scalar(event: yaml.ScalarEvent) -> str | int | float | bool | None:
    text = str(event.value)
    if not event.implicit[0]:
        return text
    if text in _WORDS:
        return _WORDS[text]
    if _NUMBER.fullmatch(text):
        return float(text) if "." in text else int(text)
    return text


def _build(events: Iterator[Any], shown: str, problems: list[Problem]) -> Node | None:
    """Build the tree; `open_key` holds the key whose value is read next, for each open mapping."""
    root: Node | None = None
    stack: list[Node] = []
    open_key: list[tuple[str, Location] | None] = []
    documents = 0

    def put(node: Node) -> None:
        nonlocal root
        if not stack:
            root = node
            return
        parent = stack[-1]
        if isinstance(parent.value, list):
            parent.value.append(node)
            return
        key = open_key[-1]
        if key is None:
            name = node.value if isinstance(node.value, str) else _as_key(node.value)
            if name is None:
                problems.append(Problem(node.location, say("cannot_key_use_plain")))
                name = f"?{len(parent.value)}"
            if name in parent.value:
                first = parent.keys[name]
                problems.append(
                    Problem(node.location, say("appears_twice_first", name=name, line=first.line))
                )
            open_key[-1] = (name, node.location)
            return
        if key[0] not in parent.value:
            parent.value[key[0]] = node
            parent.keys[key[0]] = key[1]
        open_key[-1] = None

    for event in events:
        mark = event.start_mark
        place = Location(shown, mark.line + 1, mark.column + 1)
        if isinstance(event, yaml.DocumentStartEvent):
            documents += 1
            if documents > 1:
                problems.append(Problem(place, say("starts_second_document")))
                break
        elif isinstance(event, yaml.AliasEvent):
            problems.append(Problem(place, say("yaml_aliases_name_are")))
            put(Node(place, None))
        elif isinstance(event, yaml.ScalarEvent | yaml.MappingStartEvent | yaml.SequenceStartEvent):
            if event.tag is not None and event.tag != "!":
                problems.append(Problem(place, say("tag_not_supported", tag=event.tag)))
            if isinstance(event, yaml.ScalarEvent):
                put(Node(place, _scalar(event)))
                continue
            node = Node(place, {} if isinstance(event, yaml.MappingStartEvent) else [])
            put(node)
            stack.append(node)
            open_key.append(None)
            if len(stack) > MAX_DEPTH:
                problems.append(Problem(place, say("nested_more_levels", depth=MAX_DEPTH)))
                break
        elif isinstance(event, yaml.MappingEndEvent | yaml.SequenceEndEvent):
            stack.pop()
            open_key.pop()
    return root


def _as_key(value: Any) -> str | None:
    """Accept numbers as keys (such as a fuse position), but not mappings, lists or null."""
    if isinstance(value, bool) or not isinstance(value, int):
        return None
    return str(value)
