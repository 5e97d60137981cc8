"""What several analyses of one van agree on; what differs is replaced by words that say so."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import fields, is_dataclass
from enum import Enum
from functools import cached_property, wraps
from math import isclose
from typing import Any, TypeVar, cast

from pydantic import BaseModel

from vandoc.ground.unknown import CANNOT_TELL, UNKNOWN, UNKNOWN_TEXT, NoNumber, UnknownText
from vandoc.physics.network.graph import Conductor, Consumer, FuseLink, Source

Result = TypeVar("Result")
SAME = 1e-9  # relative; more is a result that depends on what is unknown, less a rounding error
_SIZES = ("area_mm2", "rating_a")
_STATED = (Conductor, FuseLink, Consumer, Source)  # their values are those of the file


def agreed(found: Sequence[Any]) -> Any:
    """Return what several results agree on.

    Parameters
    ----------
    found : sequence
        The same result of each analysis: numbers, texts, data objects, mappings and sequences of them.

    Returns
    -------
    object
        Like the first. Numbers that differ are `CANNOT_TELL`, or `UNKNOWN` in what only repeats the van
        file; texts likewise. Entries that not every mapping has are left out, and those whose `is_known` is
        then false.
    """
    return _agreed(list(found), stated=False)


def as_agreed(make: Callable[[Any], Result]) -> "cached_property[Result]":
    """Return a property of a van; of one with unknown values, what its analyses agree on."""

    @wraps(make)
    def result(van: Any) -> Result:
        if not van.supposed:
            return make(van)
        return cast(Result, agreed([getattr(one, make.__name__) for one in van.supposed]))

    return cached_property(result)


def _agreed(found: list[Any], *, stated: bool) -> Any:
    first = found[0]
    if all(other is first for other in found):
        return first
    if all(isinstance(one, bool | Enum) or one is None for one in found):
        return first if all(one == first for one in found) else _undecided(first)
    if all(isinstance(one, int | float) for one in found):
        same = all(isclose(first, one, rel_tol=SAME, abs_tol=SAME) for one in found)
        return first if same else _number(stated)
    if any(type(one) is not type(first) for one in found):
        return _of_kinds(found, stated=stated)
    return _of_kind(found, stated=stated)


def _of_kinds(found: list[Any], *, stated: bool) -> Any:
    known = [one for one in found if one is not None]
    if all(isinstance(one, int | float) for one in known):
        return _number(stated)
    return _text(stated) if all(isinstance(one, str) or is_dataclass(one) for one in found) else None


def _of_kind(found: list[Any], *, stated: bool) -> Any:
    first = found[0]
    if isinstance(first, str):
        return first if all(one == first for one in found) else _text(stated)
    if is_dataclass(first) and not isinstance(first, type):
        return _dataclass(found, stated=stated or isinstance(first, _STATED))
    if isinstance(first, Mapping):
        keys = [key for key in first if all(key in one for one in found)]
        made = {key: _agreed([one[key] for one in found], stated=stated) for key in keys}
        return {key: value for key, value in made.items() if getattr(value, "is_known", True)}
    if isinstance(first, tuple | list):
        return _sequence(found, stated=stated)
    if isinstance(first, BaseModel):
        names = type(first).model_fields
        changed = {name: _agreed([getattr(one, name) for one in found], stated=stated) for name in names}
        return first.model_copy(update=changed)
    return first if all(one == first for one in found) else None


def _dataclass(found: list[Any], *, stated: bool) -> Any:
    first = found[0]
    given = [field.name for field in fields(first) if field.init]
    fitted = not getattr(first, "proposed", True)
    values = {
        name: _agreed([getattr(one, name) for one in found], stated=stated or (fitted and name in _SIZES))
        for name in given
    }
    if all(values[name] is getattr(first, name) for name in given):
        return first
    return type(first)(**values)


def _sequence(found: list[Any], *, stated: bool) -> Any:
    first = found[0]
    names = [[_name(one) for one in each] for each in found]
    if any(name is None for each in names for name in each):
        return type(first)(_agreed(list(ones), stated=stated) for ones in zip(*found, strict=False))
    named = [dict(zip(each, one, strict=True)) for each, one in zip(names, found, strict=True)]
    shared = [name for name in names[0] if all(name in one for one in named)]
    return type(first)(_agreed([one[name] for one in named], stated=stated) for name in shared)


def _name(one: Any) -> object:
    """Return what tells an entry of a sequence from the others: its names; None if it has none."""
    if isinstance(one, str):
        return one
    if isinstance(one, tuple):
        return tuple(part for part in one if isinstance(part, str)) or None
    for key in ("id", "owner", "subject", "link", "conductor", "cable"):
        if (part := getattr(one, key, None)) is not None:
            return part if isinstance(part, str) else _name(part)
    return None


def _number(stated: bool) -> NoNumber:
    return UNKNOWN if stated else CANNOT_TELL


def _text(stated: bool) -> UnknownText:
    return UNKNOWN_TEXT if stated else UnknownText("cannot_tell")


def _undecided(first: Any) -> Any:
    """Of yes and no the cautious one is no: what is fitting or settled is not shown to be."""
    return False if isinstance(first, bool) else None
