"""The table of what must be said: its rows, and what of them a van does not keep."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from fnmatch import fnmatch
from functools import cache
from pathlib import Path

import yaml

from tests.says.said import Said, found_on
from tests.says.traits import holds

FILE = Path(__file__).with_name("table.yml")


@dataclass(frozen=True)
class Row:
    """One text that vans with some traits must say, or must not say, in some places."""

    when: tuple[str, ...]
    at: tuple[str, ...]
    must: bool
    text: str
    name: str
    why: str
    source: str


@cache
def rows() -> tuple[Row, ...]:
    """Return the rows of the table, one for each text."""
    table = yaml.safe_load(FILE.read_text("utf-8"))
    return tuple(_rows(table["rows"], table["texts"]))


def _rows(entries: list[Mapping[str, list[str] | str]], texts: Mapping[str, str]) -> Iterator[Row]:
    for entry in entries:
        for verb in ("must", "never"):
            for name in entry.get(verb, ()):
                choices = [texts.get(choice, choice) for choice in name.split(" || ")]
                text = " || ".join(choices)
                when, at = tuple(entry.get("when", ())), tuple(entry["at"])
                yield Row(when, at, verb == "must", text, name, str(entry["why"]), str(entry["source"]))


def broken(held: frozenset[str], said: Said) -> Iterator[tuple[Row, str]]:
    """Yield each row that a van does not keep, with the place."""
    for row in rows():
        if holds(list(row.when), held):
            for pattern in row.at:
                places = [place for place in said if fnmatch(place, pattern)]
                telling = {place for text in row.text.split(" || ") for place in found_on(places, said, text)}
                yield from ((row, place) for place in places if (place in telling) != row.must)


def applies(row: Row, held: frozenset[str], said: Said) -> bool:
    """Return whether a row says something of a van, on a place that it has."""
    return holds(list(row.when), held) and any(
        fnmatch(place, pattern) for place in said for pattern in row.at
    )
