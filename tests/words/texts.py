"""Every text that a reader can meet, with its place and its reader.

Who reads a text follows from its place: `readers.yml` names the readers of message files and templates.
"""

import re
from collections.abc import Iterator, Set
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

import click

import vandoc
from tests.words.rules import read_yaml
from tests.words.sentences import without_fields, without_html, without_markdown
from tests.words.templates import prose
from vandoc.ground.messages import LANGUAGE

ROOT = Path(vandoc.__file__).parent
PROJECT = ROOT.parent
DOCUMENTS = {"README.md": "installer", "DEVELOPERS.md": "maintainer"}
READERS = read_yaml(Path(__file__).with_name("readers.yml"))
NO_PROSE = {"key", "keys", "widths", "lines", "quiet", "signal", "unit", "when", "word"}
"""Keys of message files whose values are names, numbers and signal words."""
PAGES = "/pages/"
"""The catalogues of templates: every key has prose, which may have Markdown and HTML in it."""


@dataclass(frozen=True)
class Text:
    """One text, its markup left out.

    Attributes
    ----------
    where : str
        File, and the key or line in it.
    reader : str
        Whose limits and terms it keeps: owner, installer, electrician or maintainer.
    words : str
        One line for each part that is apart from the others on the page.
    """

    where: str
    reader: str
    words: str


def reader_of(where: str, kind: str) -> str | None:
    """The reader whose place in `readers.yml` fits best; None if the words are no texts."""
    places = {place: reader for reader, places in READERS[kind].items() for place in places}
    places |= dict.fromkeys(READERS["nobody"])
    fitting = [place for place in places if where.startswith(place)]
    if not fitting:
        raise LookupError(f"{where}: readers.yml does not say who reads it")
    return places[max(fitting, key=len)]


def _leaves(node: Any, trail: tuple[str, ...] = (), *, no_prose: Set[str]) -> Iterator[tuple[str, str]]:
    if isinstance(node, dict):
        for key, value in node.items():
            if key not in no_prose:
                yield from _leaves(value, (*trail, key), no_prose=no_prose)
    elif isinstance(node, list):
        for value in node:
            yield from _leaves(value, trail, no_prose=no_prose)
    elif isinstance(node, str):
        yield ".".join(trail), node


def _below_storey(path: Path) -> str:
    """A place without its storey: `pages/manual/…` is `manual/…`."""
    steps = path.relative_to(ROOT).parts
    return "/".join(steps if steps[0] in ("model", "paper") or len(steps) == 1 else steps[1:])


@cache
def word_files() -> dict[Path, str]:
    """Every file of wordings with its place: message files by package, others by family or by kind."""
    found = {
        path: f"{_below_storey(folder.parents[1])}/{path.relative_to(folder).with_suffix('').as_posix()}"
        for folder in sorted(ROOT.rglob(f"messages/{LANGUAGE}"))
        for path in sorted(folder.rglob("*.yml"))
    }
    rules = sorted(ROOT.rglob(f"rules/*/*.{LANGUAGE}.yml"))
    kinds = sorted(ROOT.glob(f"model/kinds/*.{LANGUAGE}.yml"))
    found |= {path: f"model/kinds/{path.name.partition('.')[0]}" for path in kinds}
    ground = sorted(ROOT.glob(f"ground/*.{LANGUAGE}.yml"))
    found |= {path: f"ground/{path.name.partition('.')[0]}" for path in ground}
    return found | {path: f"{_below_storey(path.parents[2])}/{path.parent.name}" for path in rules}


@cache
def messages() -> tuple[Text, ...]:
    """Every wording of every message file."""
    found = []
    for path, place in word_files().items():
        for key, words in _leaves(read_yaml(path), no_prose=set() if PAGES in place else NO_PROSE):
            where = f"{place}/{key}"
            if reader := reader_of(where, "messages"):
                said = without_fields(re.sub(r"\{source(_\d)?\}", " ", words) if PAGES in place else words)
                found.append(Text(where, reader, without_markdown(said) if PAGES in place else said))
    return tuple(found)


@cache
def templates() -> tuple[Text, ...]:
    """What every template says itself: pages, printed sheets and the starter's comments."""
    found = []
    for path in sorted(path for ending in ("*.j2", "*.html") for path in ROOT.rglob(ending)):
        where = _below_storey(path)
        if reader := reader_of(where, "templates"):
            said = (_plain(path.name, words) for words in prose(path.read_text("utf-8")))
            found += [Text(where, reader, words) for words in said if words]
    return tuple(found)


def _plain(name: str, said: str) -> str:
    if ".yml" in name:  # only its comments are prose, and a key with its value is none
        return "\n".join(re.findall(r"# (?!\S+:(?:\s|$)|yaml-)([^#\n]*)$", said, flags=re.MULTILINE))
    said = re.sub(r"^[^\n{]*\{[^}\n]*\}$", "", said, flags=re.MULTILINE)  # a rule of style
    if ".md" in name:
        return without_markdown(said)
    lines = (" ".join(line.split()) for line in without_html(said).split("\n"))
    return "\n".join(line for line in lines if line)


@cache
def help_texts() -> tuple[Text, ...]:
    """The help of every command and option."""
    from vandoc.doors.cli import main

    found = []

    def walk(command: click.Command, name: str) -> None:
        found.append(Text(f"{name} --help", "installer", _paragraphs(command.help or "")))
        for option in command.params:
            if isinstance(option, click.Option) and option.help:
                found.append(Text(f"{name} {option.opts[0]}", "installer", option.help))
        for inner in getattr(command, "commands", {}).values():
            walk(inner, f"{name} {inner.name}")

    walk(main, "vandoc")
    return tuple(found)


def _paragraphs(text: str) -> str:
    return "\n".join(
        " ".join(block.split()) for block in re.split(r"\n\s*\n|\b:\n", text.replace("\b\n", ""))
    )


@cache
def schema_texts() -> tuple[Text, ...]:
    """Every description in the JSON Schema of a van file."""
    from vandoc.reading.schema import json_schema

    found = []

    def walk(node: Any, trail: str) -> None:
        if isinstance(node, dict):
            if isinstance(node.get("description"), str):
                found.append(Text(f"schema {trail}", "installer", _paragraphs(node["description"])))
            for key, value in node.items():
                walk(value, f"{trail}/{key}")
        elif isinstance(node, list):
            for value in node:
                walk(value, trail)

    walk(json_schema(), "")
    return tuple(found)


@cache
def document(name: str) -> Text:
    """README.md or DEVELOPERS.md."""
    return Text(name, DOCUMENTS[name], without_markdown((PROJECT / name).read_text("utf-8")))
