"""The judged vans that printed files are made of."""

import shutil
from functools import cache
from pathlib import Path
from typing import Any

import yaml

from tests.conftest import ROOT
from tests.manual.manuals import judged
from vandoc.doors.build import read
from vandoc.pages.manual.book import Book


@cache
def book(van: str) -> Book:
    return Book(judged(van))


def book_of(data: dict[str, Any], folder: Path) -> Book:
    """A van as a mapping, judged; it may fail its checks."""
    shutil.copytree(ROOT / "sites/parts", folder / "parts")
    van_file = folder / "van" / "van.yml"
    van_file.parent.mkdir()
    van_file.write_text(yaml.safe_dump(data, allow_unicode=True, sort_keys=False), "utf-8")
    return Book(read(van_file))
