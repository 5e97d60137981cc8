"""More than a hundred hostile texts over all texts of a van file, its part sheets and a page, built once.

Printed are the labels and lists of the same van, and everything of a smaller one; the benchmark
`tests/benchmarks/hostile_print.py` prints everything of every demonstration van.

What is made of them is read by independent readers (html5lib, an XML parser, pypdf, icalendar, csv) and
opened in Chromium: no script runs, no request leaves, no formula begins a cell (OWASP: CSV injection).
"""

import csv
import json
import re
import shutil
import subprocess
import sys
import xml.etree.ElementTree as ET
from pathlib import Path
from typing import Any
from urllib.parse import urlsplit

import html5lib
import icalendar
import pypdf
import pytest
import yaml
from pydantic import TypeAdapter

from tests.conftest import ROOT
from tests.hostile import ELSEWHERE, STRINGS, fill, page, texts_of
from tests.vans.small import of_every_text
from vandoc.model.base import Line, Name, Text
from vandoc.reading.schema import json_schema

VAN, SMALLER = "wren", "dunlin"
PLACES = (("build", VAN), ("build", SMALLER), ("print", VAN), ("print", SMALLER))
OURS = {
    "first.js",
    "vandoc.js",
    "saved.js",
    "dates.js",
    "revision.js",
    "find.js",
    "lights.js",
    "tonight.js",
    "remaining.js",
    "zoom.js",
}
SCHEMES = {"", "tel", "mailto", "https", "http", "data"}


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("hostile")
    shutil.copytree(ROOT / "sites" / VAN, folder / "sites" / VAN)
    shutil.copytree(ROOT / "sites/parts", folder / "sites/parts")
    count = fill(folder / "sites", VAN)
    print(f"{len(set(STRINGS))} texts, {count} places filled")
    assert len(set(STRINGS)) > 100
    assert count > 150
    (folder / f"sites/{VAN}/pages").mkdir()
    (folder / f"sites/{VAN}/pages/own.md").write_text(page(), "utf-8")
    of_every_text(folder / "smaller")
    assert fill(folder / "smaller", SMALLER) > 90
    run(folder, "build", f"sites/{VAN}")
    run(folder, "print", f"sites/{VAN}", "--only", "labels", "--only", "lists")
    run(folder, "build", f"smaller/{SMALLER}")
    run(folder, "print", f"smaller/{SMALLER}")
    return folder


def test_every_free_text_that_a_van_file_may_hold_is_among_those_filled(tmp_path: Path) -> None:
    """A key that is added to the model belongs into `of_every_text`."""
    free = [TypeAdapter(kind).json_schema() for kind in (Line, Text, Name)]
    names = set()
    for model in json_schema()["$defs"].values():
        for key, value in model.get("properties", {}).items():
            ways = [value, *value.get("anyOf", []), value.get("items", {})]
            if any({k: way.get(k) for k in one} == one for one in free for way in ways):
                names.add(key)
    written = {
        key for trail in texts_of(yaml.safe_load(of_every_text(tmp_path).read_text("utf-8"))) for key in trail
    }
    assert {"alt", "note", "keep_off"} <= names
    assert names - written == {"control", "part", "file"}, "of a relay of the other van, or names of files"


def run(folder: Path, command: str, van: str, *options: str) -> None:
    words = [sys.executable, "-m", "vandoc", command, f"{van}/van.yml", "--out", command, "--draft", *options]
    done = subprocess.run(words, cwd=folder, capture_output=True, text=True)
    assert "Traceback" not in done.stderr, done.stderr[-3000:]
    assert (folder / command / Path(van).name).is_dir(), done.stderr[-3000:]


def files(made: Path, ending: str) -> list[Path]:
    found = sorted(path for door, van in PLACES for path in (made / door / van).rglob(f"*{ending}"))
    assert found, ending
    return found


def test_pages_hold_no_script_but_ours_and_lead_nowhere_odd(made: Path) -> None:
    for path in files(made, ".html"):
        tree = html5lib.parse(path.read_text("utf-8"), namespaceHTMLElements=False)
        policies = [m for m in tree.iter("meta") if m.get("http-equiv")]
        assert len(policies) == 1, path
        assert list(tree.find("head"))[1] is policies[0], "the policy comes before whatever it forbids"
        inline = 0
        for element in tree.iter():
            tag = str(element.tag).rpartition("}")[2].lower()
            assert tag not in (
                "iframe",
                "object",
                "embed",
                "base",
                "foreignobject",
                "animate",
                "video",
                "audio",
            ), path
            if tag == "script":
                source = element.get("src")
                inline += source is None
                assert source is None or source.rpartition("/")[2] in OURS, path
            for name, value in element.attrib.items():
                name = str(name).rpartition("}")[2].lower()
                assert not name.startswith("on"), path
                assert name not in ("style", "srcset", "srcdoc"), path
                if name in ("href", "src", "action"):
                    assert (
                        re.match(r"[\w./%#?=&;,~+:@-]*$|data:,$", value) or urlsplit(value).scheme in SCHEMES
                    ), value
                    scheme = re.match(r"\s*([a-zA-Z][a-zA-Z0-9+.-]*):", value)
                    assert scheme is None or scheme[1].lower() in SCHEMES, f"{path}: {value}"
                    assert scheme is None or scheme[1] != "data" or value == "data:,", f"{path}: {value}"
        assert inline == (1 if path.name in ("card.html", "unsaved.html") else 0), path


def test_drawings_are_drawings(made: Path) -> None:
    for path in files(made, ".svg"):
        for element in ET.fromstring(path.read_bytes()).iter():
            tag = str(element.tag).rpartition("}")[2].lower()
            assert tag not in ("script", "foreignobject", "image", "animate", "set", "iframe", "style"), path
            assert not [name for name in element.attrib if str(name).lower().startswith("on")], path


def test_no_cell_of_a_list_begins_a_formula(made: Path) -> None:
    cells = 0
    for path in files(made, ".csv"):
        with path.open(encoding="utf-8-sig", newline="") as stream:
            for row in csv.reader(stream):
                for cell in row:
                    cells += 1
                    assert not re.match(r"\s*[=+@\t\r＝＋＠]|\s*[-－](?!\d)", cell), f"{path.name}: {cell!r}"
    assert cells > 100


def test_the_calendar_holds_its_events_and_no_more(made: Path) -> None:
    allowed = {"UID", "DTSTAMP", "DTSTART", "DTEND", "SUMMARY", "DESCRIPTION", "TRANSP"}
    paths = files(made, ".ics")
    assert len(paths) == 2
    for path in paths:
        assert_only_events(icalendar.Calendar.from_ical(path.read_bytes()), allowed)


def assert_only_events(calendar: icalendar.Calendar, allowed: set[str]) -> None:
    events = list(calendar.walk("VEVENT"))
    assert events
    for event in events:
        assert set(event) <= allowed
        assert [part.name for part in event.subcomponents] == ["VALARM"]
        assert all(not value.params for name, value in event.items() if name in ("SUMMARY", "DESCRIPTION"))
    kinds = {part.name for part in calendar.walk()}
    assert kinds == {"VCALENDAR", "VEVENT", "VALARM"}
    assert len(list(calendar.walk("VALARM"))) == len(events)


def test_what_is_printed_does_nothing_by_itself(made: Path) -> None:
    paths = files(made, ".pdf")
    assert {path.stem for path in paths} == {"labels", "bench", "owner", "electrician"}
    assert_nothing_happens_by_itself(paths)


def assert_nothing_happens_by_itself(paths: list[Path]) -> None:
    seen = 0
    for path in paths:
        reader = pypdf.PdfReader(path)
        for number in range(1, len(reader.xref[0]) if 0 in reader.xref else reader.trailer["/Size"]):
            try:
                thing = reader.get_object(number)
            except (pypdf.errors.PdfReadError, KeyError):
                continue
            if not isinstance(thing, pypdf.generic.DictionaryObject):
                continue
            seen += 1
            action = str(thing.get("/S", ""))
            assert action not in (
                "/JavaScript",
                "/Launch",
                "/GoToR",
                "/SubmitForm",
                "/ImportData",
                "/Rendition",
            ), path
            assert not {"/JS", "/AA", "/EmbeddedFiles", "/OpenAction"} & set(thing), path
            if action == "/URI":
                assert urlsplit(str(thing["/URI"])).scheme in ("tel", "mailto", "https", "http"), path
                assert ELSEWHERE not in str(thing["/URI"]), path
    assert seen > 100


def test_what_a_phone_and_a_search_read_is_data(made: Path) -> None:
    site = made / "build" / VAN
    json.loads((site / "manual.webmanifest").read_text("utf-8"))
    index = (site / "search/search_index.js").read_text("utf-8")
    head, _, rest = index.partition("{")
    assert head.strip() == "var __index ="
    json.loads("{" + rest.strip().rstrip(";"))


def test_in_a_browser_no_script_runs_and_no_request_leaves(made: Path, browser: Any) -> None:
    home = (made / "build").as_uri()
    context = browser.new_context(viewport={"width": 360, "height": 640})
    context.add_init_script("window.alert = window.confirm = window.prompt = () => { window.ran = true }")
    opened = context.new_page()
    left: list[str] = []
    wrong: list[str] = []
    context.on("request", lambda request: request.url.startswith(home) or left.append(request.url))
    opened.on("dialog", lambda dialog: (wrong.append(dialog.message), dialog.dismiss()))
    opened.on("pageerror", lambda error: wrong.append(str(error)))
    pages = [path for path in files(made, ".html") if path.is_relative_to(made / "build")]
    for path in pages:
        address = path.as_uri()
        opened.goto(address, wait_until="load")
        opened.evaluate("document.querySelectorAll('details').forEach(one => { one.open = true })")
        assert opened.evaluate("window.ran ?? false") is False, path
        assert opened.url == address, path
    # Search is made from every page's words, and shows them.
    for words in ("script", "alert", "onerror", "https"):
        opened.goto(f"{home}/{VAN}/index.html")
        opened.click("#find")
        opened.keyboard.type(words)
        opened.locator(".search li, .search .count:not(:empty)").first.wait_for()
        assert opened.evaluate("window.ran ?? false") is False
    assert left == []
    assert wrong == []
    assert len(pages) > 100
    context.close()
