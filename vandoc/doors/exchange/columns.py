"""The columns of a table, and the key of the van file that each stands for."""

from collections.abc import Mapping
from functools import cache
from typing import Any

from vandoc.model.base import StrictModel
from vandoc.model.wiring import Cable, Circuit, Load, Return, Run, Segment, SegmentReturn

WHAT, IDENT = "what", "id"
LISTED = "load"  # the one column that can hold several names
SEVERAL = ";"  # between them

_RUN = ("length", "area", "insulation", "bunched", "metal", "colour")
KEYS: Mapping[str, Mapping[str, str]] = {
    "load": {
        key: key
        for key in (
            "name",
            "place",
            "current",
            "power",
            "count",
            "start",
            "continuous",
            "importance",
            "lowest",
        )
    },
    "circuit": {
        "name": "name",
        "load": "load",
        "board": "fuse.board",
        "position": "fuse.position",
        "rating": "fuse.rating",
        "switch": "switch",
        **{key: f"cable.{key}" for key in _RUN},
        "return": "return",
        "return_length": "return.length",
        "return_area": "return.area",
    },
    "segment": {
        "from": "from",
        "to": "to",
        **{key: key for key in _RUN},
        "return_length": "return.length",
        "return_area": "return.area",
    },
    "cable": {"from": "from", "to": "to", **{key: key for key in _RUN}, "torque": "torque"},
}
COLUMNS = (WHAT, IDENT, *dict.fromkeys(column for keys in KEYS.values() for column in keys))
NAMES = frozenset({"name", "place", "load", "board", "switch", "return", "from", "to"})
"""Columns of text; in the others a comma can stand for the decimal point, and a unit in the heading."""

_MODELS: Mapping[str, type[StrictModel]] = {
    "load": Load,
    "circuit": Circuit,
    "segment": Segment,
    "cable": Cable,
}
_BELOW: Mapping[tuple[str, str], type[StrictModel]] = {
    ("circuit", "cable"): Run,
    ("circuit", "return"): Return,
    ("segment", "return"): SegmentReturn,
}


@cache
def kind_of(what: str, column: str) -> Any:
    """Return the type that a cell must have."""
    if column == "return" and what == "circuit":
        return Return.model_fields["to"].rebuild_annotation()
    if column == LISTED:
        return kind_of("circuit", "switch")  # one identifier; each is checked
    *way, last = KEYS[what][column].split(".")
    model: Any = _MODELS[what]
    for step in way:
        model = _BELOW.get((what, step)) or _field(model, step).annotation
    return _field(model, last).rebuild_annotation()


def _field(model: type[StrictModel], key: str) -> Any:
    return next(field for field in model.model_fields.values() if field.alias == key)
