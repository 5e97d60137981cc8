"""Vans that are hard to show: many fuses, long names, names from right to left, no lights, no switch."""

import gzip
import re
import shutil
from pathlib import Path
from typing import Any

import html5lib
import pytest
import yaml

from tests.conftest import ROOT
from vandoc.doors.publish import publish

ARABIC = "مضخة الماء تحت المغسلة في المطبخ الصغير"
LONG = "device with a name of sixty letters, which nobody would give it"[:60]
UNBROKEN = "w" * 60


def wren() -> dict[str, Any]:
    """The Wren as a mapping, its part sheets beside it."""
    data: dict[str, Any] = yaml.safe_load((ROOT / "sites/wren/van.yml").read_text("utf-8"))
    return data


def many_fuses() -> dict[str, Any]:
    data = wren()
    data["equipment"]["board"].update({"rows": 12, "columns": 10})
    pump = data["loads"]["pump"]
    names = (LONG, UNBROKEN, ARABIC)
    data["circuits"] = []
    data["loads"] = {}
    for number in range(1, 121):
        data["loads"][f"load-{number}"] = {
            **pump,
            "name": f"{number} {names[number % 3]}"[:60],
            "words": [f"word {number}", names[(number + 1) % 3]],
        }
        data["circuits"].append(
            {
                "id": f"circuit-{number}",
                "fuse": {"board": "board", "position": number, "rating": "5 A"},
                "cable": {"length": "2 m", "area": "2.5 mm²"},
                "load": f"load-{number}",
                "return": "minus",
            }
        )
    return data


def bare() -> dict[str, Any]:
    """No switch, no lights, no panels, no telephone, no address, no dates."""
    data = wren()
    for name in ("isolator", "solar", "solar-fuse", "panel", "panel-switch"):
        del data["equipment"][name]
    cables = []
    for cable in data["cables"]:
        ends = f"{cable['from']} {cable['to']}"
        if "solar" in ends or "panel." in ends or "panel-switch." in ends or cable["from"] == "isolator.out":
            continue
        if cable["to"] == "isolator.in":
            cable = {**cable, "to": "plus"}
        cables.append(cable)
    data["cables"] = cables
    for piece in data["equipment"].values():
        piece["indicators"] = []
    for load in data["loads"].values():
        load["indicators"] = []
    del data["workshop"]["phone"], data["van"]["published"], data["van"]["built"]
    for part in ("commissioning", "services"):
        data.pop(part, None)
    return data


def right_to_left(data: dict[str, Any] | None = None) -> dict[str, Any]:
    data = data or wren()
    data["van"]["name"] = ARABIC
    data["workshop"]["name"] = ARABIC
    for number, place in enumerate(data["places"].values(), 1):
        place["label"] = f"{ARABIC} {number}"
    for number, thing in enumerate((*data["equipment"].values(), *data["loads"].values()), 1):
        thing["name"] = f"{ARABIC} {number}"
    return data


@pytest.fixture(scope="module", params=[many_fuses, bare, right_to_left], ids=lambda made: made.__name__)
def site(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> tuple[str, Path]:
    folder = tmp_path_factory.mktemp("hard")
    shutil.copytree(ROOT / "sites/parts", folder / "parts")
    van_file = folder / "van" / "van.yml"
    van_file.parent.mkdir()
    van_file.write_text(yaml.safe_dump(request.param(), allow_unicode=True, sort_keys=False), "utf-8")
    # It may fail its checks; what is asked here is whether it can be shown.
    return request.param.__name__, publish(van_file, folder / "out", draft=True)


def test_nothing_is_wider_than_a_phone(site, phone):
    name, folder = site
    pages = sorted(folder.glob("*.html"))
    pages += sorted(folder.glob("fuse/*.html"))[:6]
    for page in pages:
        phone.goto(page.as_uri())
        assert phone.evaluate("document.documentElement.scrollWidth") <= 360, f"{name}: {page.name}"


def test_the_card_is_complete_and_small(site):
    name, folder = site
    text = (folder / "card.html").read_text("utf-8")
    tree = html5lib.HTMLParser(strict=True, namespaceHTMLElements=False).parse(text)
    assert len(gzip.compress(text.encode(), mtime=0)) <= 40_000
    words = " ".join("".join(tree.itertext()).split())
    if name == "many_fuses":
        assert len(set(re.findall(r"Fuse \d+", words))) == 120
    if name == "bare":
        assert "We know of no main battery switch in this van" in words
        assert "No lights are recorded" in words
        assert "tel:+" not in text


def test_every_page_says_something_where_something_is_missing(site):
    name, folder = site
    if name != "bare":
        return
    safe = (folder / "safe.html").read_text("utf-8")
    assert "We know of no main battery switch in this van" in safe
    assert "Call Hollow Lane Van Works" in safe
    assert "No lights or displays are recorded" in (folder / "lights.html").read_text("utf-8")
    assert "not published online" in (folder / "code.html").read_text("utf-8")
    assert "revision 1" in (folder / "card.html").read_text("utf-8")


def test_a_code_names_the_parts_that_it_leaves_out(site):
    name, folder = site
    page = (folder / "code.html").read_text("utf-8")
    assert ("Left out for lack of space" in page) == (name in ("many_fuses", "right_to_left"))
