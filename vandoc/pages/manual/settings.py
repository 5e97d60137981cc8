"""The MkDocs settings and Markdown extensions common to every manual."""

from functools import cache
from importlib.resources import files
from typing import Any

import yaml


@cache
def settings() -> Any:
    """Return the contents of `settings.yml`."""
    return yaml.safe_load(files("vandoc.pages.manual").joinpath("settings.yml").read_text("utf-8"))


def markdown_extensions() -> dict[str, dict[str, Any]]:
    """Return the Markdown extensions of the pages with their options, in the form of Python-Markdown.

    Examples
    --------
    >>> markdown_extensions()["toc"]
    {'permalink': False}
    """
    found: dict[str, dict[str, Any]] = {}
    for entry in settings()["markdown_extensions"]:
        found |= entry if isinstance(entry, dict) else {entry: {}}
    return found
