"""The manuals of the demonstration vans as pages, and those pages as HTML, made once for all tests."""

import re
from dataclasses import replace
from functools import cache
from pathlib import Path
from typing import Any

import html5lib
import markdown

from vandoc.analysis import Van
from vandoc.doors.build import read
from vandoc.model.system import System
from vandoc.pages.manual.pages import Pages, build_pages
from vandoc.pages.manual.settings import markdown_extensions

ROOT = Path(__file__).parents[2]
VANS = ("curlew", "wren", "heron")


@cache
def judged(van: str) -> Van:
    return read(ROOT / "sites" / van / "van.yml", ROOT)


def pages_of(found: Van) -> Pages:
    return build_pages(found)


def with_system(found: Van, system: System) -> Van:
    """The same van saying something else, its file and its history as they are."""
    return Van(system, replace(found.van_file, system=system), found.revisions)


@cache
def manual(van: str) -> Pages:
    return pages_of(judged(van))


@cache
def converter() -> markdown.Markdown:
    """Python-Markdown as MkDocs sets it up for a manual."""
    found = markdown_extensions()
    return markdown.Markdown(extensions=list(found), extension_configs=found)


def tree_of(text: str) -> Any:
    """The HTML of Markdown, front matter left out."""
    body = text.split("---\n", 2)[2] if text.startswith("---\n") else text
    return html5lib.parseFragment(converter().reset().convert(body), namespaceHTMLElements=False)


@cache
def page(van: str, path: str) -> Any:
    return tree_of(str(manual(van).files[path]))


def words(tree: Any) -> str:
    return " ".join("".join(tree.itertext()).split())


PREFIXED = {"kA": 1e3, "mA": 1e-3, "mV": 1e-3, "ms": 1e-3}


def numbers(line: str) -> list[float]:
    """The numbers of a line in its order, those with a prefix brought to A, V and s; mΩ as they are."""
    found = re.findall(r"(−?)(\d+(?:\.\d+)?)(?:[ \u00a0](kA|mA|mV|ms)\b)?", line)
    return [(-1 if minus else 1) * float(digits) * PREFIXED.get(unit, 1.0) for minus, digits, unit in found]


def ends(text: str) -> tuple[float, float]:
    """The ends of a range whose unit stands once, or twice the same quantity."""
    unit = text.split()[-1]
    low, _, high = text.rpartition(" to ")
    return numbers(f"{low} {unit}" if low else text)[0], numbers(high)[0]


def markdown_paths(found: Pages) -> list[str]:
    return [path for path in found.files if path.endswith(".md")]


ALIKE = ("fuse/", "fault/", "electrician/fault/", "electrician/piece/")


def every_kind(paths: list[str]) -> list[str]:
    """All pages but those that are one template filled many times; of those every third."""
    alike = [[path for path in paths if path.startswith(folder)] for folder in ALIKE]
    single = [path for path in paths if not path.startswith(ALIKE)]
    return [*single, *(path for group in alike for path in group[::3])]
