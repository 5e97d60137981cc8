"""What the tests of the drawings share: hostile text, a reader of SVG, a small van, the demo vans."""

import copy
import os
import re
from collections.abc import Callable
from pathlib import Path
from typing import Any
from xml.etree import ElementTree as ET

import pytest

from vandoc.model.system import System
from vandoc.pages.diagram.render import Engine, engines
from vandoc.reading.loader import load

SVG = "{http://www.w3.org/2000/svg}"
DEMO_VANS = sorted((Path(__file__).parents[2] / "sites").glob("*/van.yml"))

HOSTILE = [
    "<script>alert(1)</script>",
    "<b>bold</b>",
    "]]> <!-- & --> &lt;i&gt; &#60;script&#62;",
    'a"]; evil [label="x"]; {',
    "back\\slash \\N \\G \\T \\l \\",
    "two\nlines\tand a tab\r\n",
    "right to left \u202eevil\u202c עברית العربية",
    "a very long name that goes on and on, far beyond the sixty letters that fit anywhere",
    "Averylongwordwithoutanyspacethatcannotbebrokenatallbutmustbebrokenanyhow",
    "javascript:alert(1) onload=alert(1) ' \" `",
    "日本語の名前がここにあります、とても長い",
    "\u202epump\u200b",
]

ALLOWED = {"svg", "g", "title", "desc", "path", "rect", "circle", "ellipse", "text", "tspan", "a"}


@pytest.fixture(params=HOSTILE, ids=lambda text: f"hostile{HOSTILE.index(text)}")
def hostile(request: pytest.FixtureRequest) -> str:
    """Each text that tries to be markup, a statement, or a nuisance."""
    return str(request.param)


class Drawing:
    """An SVG drawing, checked on reading: nothing in it can run, load from elsewhere or clash with others."""

    def __init__(self, svg: str) -> None:
        self.root = ET.fromstring(svg)
        assert "<?xml" not in svg
        assert "<!" not in svg
        ids = []
        for item in self.root.iter():
            assert item.tag.removeprefix(SVG) in ALLOWED
            for name, value in item.attrib.items():
                assert not name.lower().startswith("on")
                assert "url(" not in value
                if name == "href":
                    assert re.match(r"(https?://|[\w./#-]+(/|$))", value)
                assert name != "style", "the pages' Content-Security-Policy lets none through"
            ids += [item.attrib["id"]] if "id" in item.attrib else []
        assert len(ids) == len(set(ids))
        assert all(ident.startswith(self.root.attrib["id"]) for ident in ids)
        linked = any(item.tag.removeprefix(SVG) == "a" for item in self.root.iter())
        assert self.root.attrib["role"] == ("group" if linked else "img")
        assert set(self.root.attrib["aria-labelledby"].split()) <= set(ids)

    def all(self, *names: str) -> list[ET.Element]:
        """Return the elements that have all of the classes."""
        return [item for item in self.root.iter() if set(names) <= set(item.get("class", "").split())]

    def words(self, item: ET.Element | None = None) -> str:
        """Return the text of an element and all in it, but for its tooltips."""
        hidden = (f"{SVG}title", f"{SVG}desc")
        inside = (self.root if item is None else item).iter()
        return " ".join(inner.text for inner in inside if inner.tag not in hidden and inner.text)


@pytest.fixture(scope="session")
def read() -> Callable[[str], Drawing]:
    """The checking reader."""
    return Drawing


PLACE = {"at": {"back": "1 m", "across": "0.5 m"}}
SMALL_VAN: dict[str, Any] = {
    "van": {
        "name": "Dunlin",
        "nominal": "12 V",
        "size": {"length": "5 m", "width": "2 m", "driver": "right"},
    },
    "workshop": {"name": "Marsh Lane Electrics"},
    "places": {
        "bench": {"label": "under the bench", **PLACE},
        "engine": {"label": "under the bonnet", **PLACE, "inside": False},
        "galley": {"label": "kitchen cupboard", **PLACE},
    },
    "equipment": {
        "alternator": {
            "kind": "alternator",
            "name": "alternator",
            "place": "engine",
            "rating": "90 A",
            "regulation": "fixed",
        },
        "starter": {
            "kind": "battery",
            "name": "starter battery",
            "place": "engine",
            "role": "starter",
            "chemistry": "flooded",
            "capacity": "70 Ah",
        },
        "relay": {
            "kind": "relay",
            "name": "charging relay",
            "place": "engine",
            "purpose": "split-charge",
            "rating": "100 A",
        },
        "house": {
            "kind": "battery",
            "name": "leisure battery",
            "place": "bench",
            "chemistry": "AGM",
            "capacity": "100 Ah",
        },
        "main-fuse": {
            "kind": "fuse",
            "name": "main fuse",
            "place": "bench",
            "family": "SF30",
            "rating": "80 A",
        },
        "board": {
            "kind": "fuse-board",
            "name": "fuse board",
            "place": "bench",
            "family": "C",
            "rows": 1,
            "columns": 4,
        },
        "bolt": {"kind": "earth-point", "name": "earth bolt", "place": "bench", "clean": True},
    },
    "loads": {
        "pump": {"name": "water pump", "place": "galley", "current": "5 A"},
        "lamp": {"name": "ceiling light", "place": "galley", "power": "10 W", "importance": "lighting"},
    },
    "cables": [
        {"from": "alternator.+", "to": "starter.+", "length": "1 m", "area": "25 mm²", "vehicle": True},
        {"from": "starter.-", "to": "chassis", "length": "0.4 m", "area": "25 mm²", "vehicle": True},
        {"from": "starter.+", "to": "relay.a", "length": "0.5 m", "area": "16 mm²"},
        {"from": "relay.b", "to": "house.+", "length": "4 m", "area": "16 mm²"},
        {"from": "house.-", "to": "bolt", "length": "0.5 m", "area": "25 mm²"},
        {"from": "house.+", "to": "main-fuse.in", "length": "0.2 m", "area": "16 mm²"},
        {"from": "main-fuse.out", "to": "board.in", "length": "0.6 m", "area": "16 mm²"},
    ],
    "circuits": [
        {
            "id": "water",
            "fuse": {"board": "board", "position": 1, "rating": "10 A"},
            "cable": {"length": "3 m", "area": "2.5 mm²"},
            "load": "pump",
            "return": "bolt",
        },
        {
            "id": "light",
            "fuse": {"board": "board", "position": 3},
            "cable": {"length": "2 m"},
            "load": "lamp",
            "return": "bolt",
        },
    ],
}


@pytest.fixture
def small_van() -> dict[str, Any]:
    """A van in the words of its file, to be changed freely."""
    return copy.deepcopy(SMALL_VAN)


@pytest.fixture(scope="session")
def demo_systems() -> dict[str, System]:
    """The demonstration vans by the name of their folder."""
    return {path.parent.name: load(path).system for path in DEMO_VANS}


@pytest.fixture(params=["dot", "graphviz-pure"])
def engine(request: pytest.FixtureRequest) -> Engine:
    """Each layout program in turn; `graphviz-pure` is always there, `dot` may be missing but not in CI."""
    found = {engine.name: engine for engine in engines()}
    if request.param not in found:
        if request.param == "graphviz-pure" or os.environ.get("CI") == "true":
            pytest.fail(f"{request.param} is not installed")
        pytest.skip("dot is not installed")
    return found[request.param]
