"""The words of the drawings, read once from `words.toml`."""

import tomllib
from functools import cache
from importlib.resources import files
from typing import Any


@cache
def _words() -> dict[str, Any]:
    return tomllib.loads(files("vandoc.diagram").joinpath("words.toml").read_text(encoding="utf-8"))


def say(key: str, **values: object) -> str:
    """Return the words for a key, with the values filled in.

    >>> say("plan.front")
    'front'
    >>> say("board.position", position=3, facts="10 A")
    '3: 10 A'
    """
    drawing, name = key.split(".")
    text: str = _words()[drawing][name]
    return text.format_map(values)


def rows(key: str) -> list[str]:
    """Return the words for a key that are set on several lines."""
    drawing, name = key.split(".")
    return list(_words()[drawing][name])
