"""The words of what is printed, and its templates."""

from functools import cache
from importlib.resources import files
from pathlib import Path
from typing import Any

import yaml
from jinja2 import Environment, FileSystemLoader, StrictUndefined

from vandoc.manual.text import LANGUAGE

HERE = Path(str(files("vandoc.paper")))


@cache
def _messages() -> Any:
    return yaml.safe_load((HERE / "messages" / LANGUAGE / "paper.yml").read_text("utf-8"))


def say(key: str, /, **values: object) -> str:
    """Return the message with a key of `paper.yml`, its ``{names}`` filled in with text."""
    found: Any = _messages()
    for step in key.split("."):
        found = found[step]
    return str(found).format_map(values) if values else str(found)


@cache
def environment() -> Environment:
    """Return the environment of the templates, which escapes every value for HTML."""
    env = Environment(
        loader=FileSystemLoader([HERE / "templates" / LANGUAGE, HERE / "templates"]),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        auto_reload=False,
    )
    env.globals |= {"say": say, "language": LANGUAGE}
    return env
