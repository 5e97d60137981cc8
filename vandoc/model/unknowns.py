"""What a van file states as unknown: fitted, but nobody knows it, so that it is to be measured."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any, Literal, cast, get_args

from pydantic import BaseModel

from vandoc.ground.unknown import is_unknown
from vandoc.model.references import Path as Trail
from vandoc.model.system import System

Quantity = Literal[
    "length",
    "area",
    "insulation",
    "family",
    "rating",
    "current",
    "power",
    "capacity",
    "chemistry",
    "through",
    "unidentified",
    "unseen",
]
"""What is not known: the key of the value in the van file, or the kind of an item that is not known."""

QUANTITIES: tuple[Quantity, ...] = get_args(Quantity)
_SECTIONS = ("equipment", "loads", "cable_defaults", "cables", "circuits")
_KINDS = ("unidentified", "unseen")


@dataclass(frozen=True)
class Unknown:
    """One thing that is not known.

    Attributes
    ----------
    trail : tuple
        Path of the value in the van file; of the item if it is one that is not known.
    quantity : str
    subject : str
        The item, load, cable or circuit, by its name in the van file.
    """

    trail: Trail
    quantity: Quantity
    subject: str


def unknowns(system: System) -> tuple[Unknown, ...]:
    """Return everything that a van file states as unknown, in its order."""
    return tuple(_all(system))


def _all(system: System) -> Iterator[Unknown]:
    for section in _SECTIONS:
        for trail, value in _below(getattr(system, section), (section,)):
            subject = _subject(system, trail)
            if isinstance(value, BaseModel):
                yield Unknown(trail, cast(Quantity, getattr(value, "kind", "")), subject)
            else:
                yield Unknown(trail, cast(Quantity, trail[-1]), subject)


def _below(value: Any, trail: Trail) -> Iterator[tuple[Trail, Any]]:
    if isinstance(value, BaseModel):
        if getattr(value, "kind", None) in _KINDS:
            yield trail, value
        for name, field in type(value).model_fields.items():
            yield from _below(getattr(value, name), (*trail, field.alias or name))
    elif is_unknown(value):
        yield trail, value
    elif isinstance(value, dict):
        for key, child in value.items():
            yield from _below(child, (*trail, key))
    elif isinstance(value, list):
        for number, child in enumerate(value):
            yield from _below(child, (*trail, number))


def _subject(system: System, trail: Trail) -> str:
    section, *rest = trail
    if section == "cables":
        cable = system.cables[int(rest[0])]
        return cable.id or f"{cable.start} to {cable.end}"
    if section == "circuits":
        return system.circuits[int(rest[0])].id
    return str(rest[0]) if section != "cable_defaults" else section


def with_values(model: Any, values: dict[Trail, Any]) -> Any:
    """Return a model, mapping or list in which the values at these paths are others."""
    if () in values:
        return values[()]
    below: dict[str | int, dict[Trail, Any]] = {}
    for (step, *rest), value in values.items():
        below.setdefault(step, {})[tuple(rest)] = value
    if isinstance(model, BaseModel):
        names = {field.alias or name: name for name, field in type(model).model_fields.items()}
        update = {
            names[str(step)]: with_values(getattr(model, names[str(step)]), inner)
            for step, inner in below.items()
        }
        return model.model_copy(update=update)
    if isinstance(model, dict):
        return model | {step: with_values(model[step], inner) for step, inner in below.items()}
    changed = list(model)
    for step, inner in below.items():
        changed[int(step)] = with_values(changed[int(step)], inner)
    return changed
