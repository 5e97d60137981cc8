"""JSON output of `check` and `size`: one format for one van, several vans and unusable files."""

import json
from collections.abc import Iterable, Mapping
from pathlib import Path
from typing import Any

from vandoc.ground.errors import SystemFileError

FORMAT = 1
"""Version of the format; raised by any change that could break a reader of the JSON."""


def of_van(file: Path, name: str, content: Mapping[str, Any]) -> dict[str, Any]:
    """Return the entry of a van."""
    return {"file": str(file), "van": name, **content}


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
    return json.dumps({"format": FORMAT, "vans": list(vans)}, ensure_ascii=False, indent=1)
