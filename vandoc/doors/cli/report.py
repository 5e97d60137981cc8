"""JSON output of `check` and `size`: one format for one van, several vans and unusable files."""

import json
from collections.abc import Iterable, Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Any

from vandoc.ground.errors import SystemFileError
from vandoc.ground.unknown import NoNumber

if TYPE_CHECKING:
    from vandoc.analysis import Van

FORMAT = 1
"""Version of the format; raised by any change that could break a reader of the JSON."""


def of_van(file: Path, name: str, content: Mapping[str, Any]) -> dict[str, Any]:
    """Return the entry of a van."""
    return {"file": str(file), "van": name, **content}


def unknowns_of(van: "Van") -> dict[str, Any]:
    """Return what a van states as unknown, by its key in the van file; nothing if it knows all."""
    from vandoc.reading.explain import dotted

    found = [
        {"key": dotted(one.trail), "subject": one.subject, "quantity": one.quantity} for one in van.unknown
    ]
    return {"unknown": found} if found else {}


def of_errors(file: Path, error: SystemFileError) -> dict[str, Any]:
    """Return the entry of a file that cannot be used, with the location of each error."""
    return {
        "file": str(file),
        "errors": [
            {
                "file": problem.location.file,
                "line": problem.location.line,
                "column": problem.location.column,
                "message": problem.message,
            }
            for problem in error.problems
        ],
    }


def as_json(vans: Iterable[Mapping[str, Any]]) -> str:
    """Return the whole report."""
    report = {"format": FORMAT, "vans": [_stated(van) for van in vans]}
    return json.dumps(report, ensure_ascii=False, indent=1, allow_nan=False)


def _stated(value: Any) -> Any:
    """Return a value with words where a number is unknown, or a result cannot be told."""
    if isinstance(value, Mapping):
        return {key: _stated(one) for key, one in value.items()}
    if isinstance(value, list | tuple):
        return [_stated(one) for one in value]
    return str(value) if isinstance(value, NoNumber) else value
