"""What the commands ask and answer."""

from functools import cache
from importlib.resources import files
from typing import Any

import yaml


@cache
def _messages() -> dict[str, Any]:
    text = files(__package__).joinpath("messages/en/questions.yml").read_text("utf-8")
    found: dict[str, Any] = yaml.load(text, getattr(yaml, "CSafeLoader", yaml.SafeLoader))
    return found


def say(key: str, /, **values: object) -> str:
    """Return a wording, its ``{names}`` filled in with text that is never read as a pattern."""
    found: Any = _messages()
    for step in key.split("."):
        found = found[step]
    return str(found).strip().format_map(values)
