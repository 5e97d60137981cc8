"""The built manuals as a whole: nothing asked of another host, no broken link, the same bytes each time."""

import base64
import hashlib
import os
import re
import shutil
import subprocess
import sys
from dataclasses import dataclass
from html.parser import HTMLParser
from pathlib import Path
from urllib.parse import unquote, urlsplit

import pytest

from tests.conftest import DEMO_VANS, ROOT

VANS = [path.parent.name for path in DEMO_VANS]
KEYWORDS = {"'none'", "'self'", "file:", "data:"}
LOADS = {"src", "srcset", "poster", "data", "action", "formaction", "background", "ping"}


@dataclass(frozen=True)
class Parsed:
    """A built page as a reader of HTML sees it.

    Attributes
    ----------
    elements : tuple of (str, dict)
        Name and attributes, in the order of the page.
    texts : dict of str to list of str
        What stands in each title, script and style.
    """

    elements: tuple[tuple[str, dict[str, str]], ...]
    texts: dict[str, list[str]]


class Reader(HTMLParser):
    """Reads a page in a fifth of the time of a reader that builds its tree."""

    def __init__(self) -> None:
        super().__init__()
        self.elements: list[tuple[str, dict[str, str]]] = []
        self.texts: dict[str, list[str]] = {"title": [], "script": [], "style": []}
        self.inside: list[str] | None = None

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        attributes = {name: value or "" for name, value in attrs}
        self.elements.append((tag, attributes))
        if tag in self.texts and not attributes.get("src"):
            self.inside = self.texts[tag]
            self.inside.append("")

    def handle_endtag(self, tag: str) -> None:
        if tag in self.texts:
            self.inside = None

    def handle_data(self, data: str) -> None:
        if self.inside is not None:
            self.inside[-1] += data


def parsed(page: Path) -> Parsed:
    reader = Reader()
    reader.feed(page.read_text("utf-8"))
    reader.close()
    return Parsed(tuple(reader.elements), reader.texts)


@pytest.fixture(scope="module", params=VANS)
def site(request: pytest.FixtureRequest, manuals: Path) -> tuple[Path, dict[Path, Parsed]]:
    """A built manual, and each of its pages, read once."""
    root = manuals / request.param
    return root, {page: parsed(page) for page in sorted(root.rglob("*.html"))}


def test_there_are_three_vans():
    assert VANS == ["curlew", "heron", "wren"]


def test_nothing_is_asked_of_another_host(site):
    root, pages = site
    for page, read in pages.items():
        for tag, attributes in read.elements:
            for name, value in attributes.items():
                loads = name in LOADS or (tag == "link" and name == "href")
                assert not (loads and re.match(r"\s*(https?:)?//", value)), f"{page}: {tag} {value}"
    for sheet in root.rglob("*.css"):
        text = sheet.read_text("utf-8")
        assert not re.search(r"(url\(\s*['\"]?|@import\s+['\"]?)(https?:)?//", text), sheet
    scripts = [path for path in root.rglob("*.js") if path.name != "search_index.js"]
    for script in scripts:
        assert not re.search(r"https?://(?!www\.w3\.org/)", script.read_text("utf-8")), script


def test_no_link_leads_nowhere(site):
    root, pages = site
    anchors = {
        page: {attributes["id"] for _, attributes in read.elements if attributes.get("id")}
        for page, read in pages.items()
    }
    count = 0
    for page, read in pages.items():
        for _, attributes in read.elements:
            for name in ("href", "src", "xlink:href"):
                value = attributes.get(name)
                if value is None or urlsplit(value).scheme in ("http", "https", "tel", "mailto", "data"):
                    continue
                parts = urlsplit(value)
                assert not parts.path.startswith("/"), f"{page.name}: {value} does not work from a disk"
                target = (page.parent / unquote(parts.path)).resolve() if parts.path else page
                assert target.is_file(), f"{page.relative_to(root)}: {value} leads nowhere"
                if parts.fragment and target in anchors:
                    assert unquote(parts.fragment) in anchors[target], f"{page.relative_to(root)}: {value}"
                count += 1
    assert count > 100


def test_every_page_asks_not_to_be_indexed_and_names_the_van(site):
    root, pages = site
    for page, read in pages.items():
        metas = {found.get("name"): found.get("content") for tag, found in read.elements if tag == "meta"}
        assert metas.get("robots") == "noindex", page
        assert root.name in read.texts["title"][0].lower(), page


def test_every_page_lets_in_only_its_own_files_and_what_it_vouches_for(site):
    """Directives and hashes: W3C Content Security Policy Level 3. `test_policy.py` tries it in a browser."""
    for page, read in site[1].items():
        (meta,) = [
            found
            for tag, found in read.elements
            if tag == "meta" and found.get("http-equiv") == "Content-Security-Policy"
        ]
        policy = {part.split()[0]: set(part.split()[1:]) for part in meta["content"].split(";")}
        assert policy["default-src"] == {"'none'"}, page
        assert policy["base-uri"] == policy["form-action"] == {"'none'"}, page
        known = set()
        for tag, directive in (("script", "script-src"), ("style", "style-src")):
            inside = {hashed(text) for text in read.texts[tag] if text}
            assert inside <= policy[directive], f"{page}: {tag} without its hash"
            known |= inside
        assert set().union(*policy.values()) <= KEYWORDS | known, page
        for _, attributes in read.elements:
            wrong = [name for name in attributes if name == "style" or str(name).startswith("on")]
            assert not wrong, page


def hashed(text: str) -> str:
    return f"'sha256-{base64.b64encode(hashlib.sha256(text.encode()).digest()).decode()}'"


def test_two_builds_are_the_same_in_another_place_zone_and_language(manuals, tmp_path):
    """One by a process of its own, the other the one that all tests share."""
    work = tmp_path / "deep er"
    shutil.copytree(ROOT / "sites", work / "sites")
    command = [sys.executable, "-m", "vandoc", "build", "sites/wren/van.yml", "--out", "out"]
    environment = {**os.environ, "TZ": "Pacific/Chatham", "LC_ALL": "C", "PYTHONHASHSEED": "9"}
    subprocess.run(command, cwd=work, env=environment, check=True, timeout=120)
    outputs = [
        {path.relative_to(site): path.read_bytes() for path in sorted(site.rglob("*")) if path.is_file()}
        for site in (work / "out/wren", manuals / "wren")
    ]
    assert outputs[0].keys() == outputs[1].keys()
    different = [str(path) for path in outputs[0] if outputs[0][path] != outputs[1][path]]
    assert different == []
