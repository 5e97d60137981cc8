"""Functions shared by the rules that look at every value of one type."""

from collections.abc import Iterator
from typing import TypeVar

from pydantic import BaseModel

from vandoc.model.base import key_of
from vandoc.model.references import Path as Trail

Value = TypeVar("Value")


def values(thing: object, kind: type[Value], trail: Trail = ()) -> Iterator[tuple[Trail, Value]]:
    """Yield every value of a type in a part of the file, with its location."""
    if isinstance(thing, kind):
        yield trail, thing
    elif isinstance(thing, BaseModel):
        for name in type(thing).model_fields:
            yield from values(getattr(thing, name), kind, (*trail, key_of(name.rstrip("_"))))
    elif isinstance(thing, dict):
        for key, value in thing.items():
            yield from values(value, kind, (*trail, str(key)))
    elif isinstance(thing, list | tuple):
        for index, value in enumerate(thing):
            yield from values(value, kind, (*trail, index))


def subject_of(trail: Trail) -> str:
    """Return the item that a value belongs to, or else the section of the file."""
    named = trail[0] in ("equipment", "loads", "places")
    return str(trail[1 if named else 0])
