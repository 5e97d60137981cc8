"""Pydantic's validation errors for a van file or workshop file, in plain words, each with its location."""

import types
from difflib import get_close_matches
from typing import Any, Literal, Union, get_args, get_origin

from pydantic import BaseModel, TypeAdapter, ValidationError

from vandoc.ground.errors import Location, Problem
from vandoc.model.kinds import kinds as known_kinds
from vandoc.model.piece import Piece
from vandoc.model.references import Path as Trail
from vandoc.model.system import System
from vandoc.reading.yamltree import Node, unwritable


def dotted(trail: Trail) -> str:
    """Return `("circuits", 3, "cable", "length")` as `circuits[3].cable.length`."""
    text = ""
    for step in trail:
        text += f"[{step}]" if isinstance(step, int) else f".{step}"
    return text.removeprefix(".")


def known_steps(tree: Node, trail: Trail) -> tuple[Trail, Node]:
    """Return the part of a path that exists in the file, without pydantic's names of union members."""
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


def locate(tree: Node, trail: Trail, *, key: bool) -> Location:
    """Return the location of a value, or of its key; for a missing value, that of its parent."""
    known, node = known_steps(tree, trail)
    if key and known:
        _, parent = known_steps(tree, known[:-1])
        return parent.keys.get(str(known[-1]), node.location)
    return node.location


def as_stated(kind: Any, text: str) -> Any:
    """Return text as validated by a field of the model.

    Parameters
    ----------
    kind : type
        Type of the field, such as `Line` or ``Service.model_fields["date"].rebuild_annotation()``.
    text : str

    Raises
    ------
    ValueError
        If the field does not accept it or a YAML file cannot contain it; worded like the errors in files.
    """
    if (found := unwritable(text)) is not None:
        raise ValueError(f"the character {found!r} cannot be written in a file; leave it out")
    try:
        return TypeAdapter(kind).validate_python(text)
    except ValidationError as error:
        detail: Any = error.errors(include_url=False)[0]
        if detail["type"] == "value_error":
            raise ValueError(str(detail["ctx"]["error"])) from None
        raise ValueError(_plain_message(detail["type"], detail)) from None


def telling(tree: Node, details: list[Any]) -> list[Any]:
    """Drop errors that only say that a value is not the other of two permitted forms."""
    forms = ("string_type", "model_type", "list_type")
    told: set[Trail] = set()  # each step of a path that has another error
    for detail in details:
        if detail["type"] not in forms:
            told |= _steps(tree, detail)
    kept = []
    for detail in details:
        own = known_steps(tree, tuple(detail["loc"]))[0]
        if detail["type"] not in forms or own not in told:
            kept.append(detail)
        told |= _steps(tree, detail)
    return kept


def _steps(tree: Node, detail: Any) -> set[Trail]:
    trail = known_steps(tree, tuple(detail["loc"]))[0]
    return {trail[:length] for length in range(len(trail) + 1)}


def explain(tree: Node, detail: Any, model: type[BaseModel] = System) -> Problem:
    """Return one of pydantic's error details as a problem with its location.

    Parameters
    ----------
    tree : Node
        The content of the file.
    detail : dict
    model : type
        Model of the file.
    """
    trail: Trail = tuple(detail["loc"])
    kind = detail["type"]
    known, node = known_steps(tree, trail)
    label = dotted(known) or "the file"
    if kind == "missing":
        where = locate(tree, known, key=True)
        return Problem(where, f"{label}: {trail[-1]!r} is missing; add it")
    if kind == "extra_forbidden":
        parents = _keys_at(tree, known[:-1], model)
        close = get_close_matches(str(trail[-1]), parents, 1)
        hint = (
            f"; did you mean {close[0]!r}?"
            if close
            else f"; valid keys: {', '.join(parents)}"
            if parents
            else ""
        )
        return Problem(
            locate(tree, known, key=True), f"{label}: {str(trail[-1])!r} is not a valid key here{hint}"
        )
    if kind == "value_error":
        return Problem(node.location, f"{label}: {detail['ctx']['error']}")
    if kind in ("union_tag_invalid", "union_tag_not_found"):
        kinds = detail["ctx"].get("expected_tags", "").replace("'", "") or ", ".join(_kinds())
        if kind == "union_tag_not_found":
            return Problem(locate(tree, known, key=True), f"{label}: 'kind' is missing; add one of {kinds}")
        tag = detail["ctx"]["tag"]
        close = get_close_matches(str(tag), kinds.split(", "), 1)
        hint = f"; did you mean {close[0]!r}?" if close else f"; use one of {kinds}"
        place = node.value["kind"].location if isinstance(node.value, dict) else node.location
        return Problem(place, f"{label}.kind: {tag!r} is not a kind of equipment{hint}")
    return Problem(node.location, f"{label}: {_plain_message(kind, detail)}")


def _plain_message(kind: str, detail: Any) -> str:
    context = detail.get("ctx", {})
    given = detail.get("input")
    shown = repr(given) if isinstance(given, str | int | float | bool) else "this"
    if kind == "literal_error":
        return f"{shown} is not valid here; use {context['expected']}"
    if kind == "string_pattern_mismatch":
        hint = _PATTERN_HINTS.get(context["pattern"], context["pattern"])
        return f"{shown} has the wrong format; use {hint}"
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
        fault = "the value is missing" if given is None else f"{shown} is not valid here"
        return f"{fault}; enter {wanted}"
    if kind.startswith("date"):
        return f"{shown} is not a date; write it like 2026-05-12"
    if kind in ("too_short", "string_too_short"):
        return "must not be empty; enter a value"
    if kind in ("too_long", "string_too_long"):
        counted = "characters" if kind == "string_too_long" else "entries"
        return f"too long; enter no more than {context['max_length']} {counted}"
    if kind in _BOUNDS:
        key, fault = _BOUNDS[kind]
        return f"{shown} is {fault} {context[key]:g}"
    message = detail["msg"]
    return f"{shown}: {message[0].lower()}{message[1:]}"


_BOUNDS = {
    "less_than_equal": ("le", "too high; the maximum is"),
    "greater_than_equal": ("ge", "too low; the minimum is"),
    "greater_than": ("gt", "too low; enter more than"),
}
_PATTERN_HINTS = {
    r"^[a-z][a-z0-9]*(-[a-z0-9]+)*$": "lower-case words with hyphens between them, such as 'seat-box'",
    r"^[a-z][a-z0-9-]*(\.[a-z0-9+-]+)?$": "an item and its terminal, such as 'house.+'",
    r"^[a-z]{2}$": "the two letters of a language, such as 'en'",
    r"^[^\x00-\x1f\x7f]*$": "one line of text",
    r"^[a-z]+(-[a-z]+)*\.[a-z0-9][a-z0-9.+ -]*$": "a measurement and its subject, such as 'drop.fridge'",
    r"^https?://[A-Za-z0-9._~:/?#@!$&()*+,;=%-]+$": "an address that begins with https://",
}


def _kinds() -> list[str]:
    return list(known_kinds())


def _keys_at(tree: Node, trail: Trail, root: type[BaseModel]) -> list[str]:
    """Return the keys of a model at a path, to suggest the correct one."""
    _, node = known_steps(tree, trail)
    model: Any = root
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
        fields = member.model_fields.items()
        keys.update(dict.fromkeys(field.alias or name for name, field in fields if not field.exclude))
    return list(keys)


def _members(annotation: Any) -> list[Any]:
    if get_origin(annotation) in (Union, types.UnionType):
        return [member for part in get_args(annotation) for member in _members(part)]
    if hasattr(annotation, "__metadata__"):
        return _members(get_args(annotation)[0])
    if annotation is Piece:
        return list(known_kinds().values())
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
