"""Pydantic's validation errors for a van file or workshop file, in plain words, each with its location."""

import types
from difflib import get_close_matches
from typing import Any, Literal, Union, get_args, get_origin

from pydantic import BaseModel, TypeAdapter, ValidationError

from vandoc.ground.errors import Location, Problem
from vandoc.ground.messages import Messages
from vandoc.model.kinds import kinds as known_kinds
from vandoc.model.piece import Piece
from vandoc.model.references import Path as Trail
from vandoc.model.system import System
from vandoc.reading.yamltree import Node, unwritable

say = Messages("vandoc.reading", "explain").say


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
        raise ValueError(say("character_cannot", found=found))
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
    label = dotted(known) or say("file")
    if kind == "missing":
        where = locate(tree, known, key=True)
        return Problem(where, say("missing_add", label=label, trail=trail[-1]))
    if kind == "extra_forbidden":
        parents = _keys_at(tree, known[:-1], model)
        close = get_close_matches(str(trail[-1]), parents, 1)
        hint = (
            say("did_you_mean", close=close[0])
            if close
            else say("valid_keys", parents=", ".join(parents))
            if parents
            else ""
        )
        return Problem(
            locate(tree, known, key=True),
            say("not_valid_key_here", label=label, trail=str(trail[-1]), hint=hint),
        )
    if kind == "value_error":
        return Problem(node.location, f"{label}: {detail['ctx']['error']}")
    if kind in ("union_tag_invalid", "union_tag_not_found"):
        kinds = detail["ctx"].get("expected_tags", "").replace("'", "") or ", ".join(_kinds())
        if kind == "union_tag_not_found":
            return Problem(locate(tree, known, key=True), say("kind_missing_add", label=label, kinds=kinds))
        tag = detail["ctx"]["tag"]
        close = get_close_matches(str(tag), kinds.split(", "), 1)
        hint = say("did_you_mean", close=close[0]) if close else say("use", kinds=kinds)
        place = node.value["kind"].location if isinstance(node.value, dict) else node.location
        return Problem(place, say("kind_not_kind", label=label, tag=tag, hint=hint))
    return Problem(node.location, f"{label}: {_plain_message(kind, detail)}")


def _plain_message(kind: str, detail: Any) -> str:
    context = detail.get("ctx", {})
    given = detail.get("input")
    shown = repr(given) if isinstance(given, str | int | float | bool) else say("this")
    if kind == "literal_error":
        return say("not_valid_here_use", shown=shown, expected=context["expected"])
    if kind == "string_pattern_mismatch":
        known = _PATTERN_HINTS.get(context["pattern"])
        hint = say(known) if known else context["pattern"]
        return say("wrong_format_use", shown=shown, hint=hint)
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
            "string_type": say("text"),
            "int_type": say("whole_number"),
            "bool_type": say("true_false"),
            "list_type": say("a_list"),
        }.get(kind, say("group_key_value_lines"))
        fault = say("value_missing") if given is None else say("not_valid_here", shown=shown)
        return say("enter", fault=fault, wanted=wanted)
    if kind.startswith("date"):
        return say("not_date_write_like", shown=shown)
    if kind in ("too_short", "string_too_short"):
        return say("must_not_empty_enter")
    if kind in ("too_long", "string_too_long"):
        counted = "characters" if kind == "string_too_long" else "entries"
        return say(f"too_long.{counted}", most=context["max_length"])
    if kind in _BOUNDS:
        key, fault = _BOUNDS[kind]
        return say(fault, shown=shown, limit=context[key])
    message = detail["msg"]
    return f"{shown}: {message[0].lower()}{message[1:]}"


_BOUNDS = {
    "less_than_equal": ("le", "too_high_maximum"),
    "greater_than_equal": ("ge", "too_low_minimum"),
    "greater_than": ("gt", "too_low_enter_more"),
}
_PATTERN_HINTS = {
    r"^[A-HJ-NP-Z]{1,3}[1-9][0-9]{0,3}$": "designation",
    r"^[0-9]{1,7}(\.[0-9]{1,2})? [A-Z]{3}$": "price",
    r"^[a-z][a-z0-9]*(-[a-z0-9]+)*$": "lower_case_words",
    r"^[a-z][a-z0-9-]*(\.[a-z0-9+-]+)?$": "item_terminal_such",
    r"^[a-z]{2}$": "two_letters_language",
    r"^[^\x00-\x1f\x7f]*$": "line_text",
    r"^[a-z]+(-[a-z]+)*\.[a-z0-9][a-z0-9.+ -]*$": "measurement_subject",
    r"^https?://[A-Za-z0-9._~:/?#@!$&()*+,;=%-]+$": "address_begins",
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
