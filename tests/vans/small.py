"""A sound van that is small, for tests in which it does not matter how much there is of anything."""

import shutil
from copy import deepcopy
from pathlib import Path

import yaml

from tests.conftest import ROOT

SMALL = ROOT / "tests/vans/pairs/vans/small_agm.yml"


def put_into(folder: Path) -> Path:
    """Copy the small van into a folder of its own there; return its file."""
    van_file = folder / "dunlin/van.yml"
    van_file.parent.mkdir(parents=True)
    shutil.copy(SMALL, van_file)
    return van_file


def worded(folder: Path) -> Path:
    """Write the small van with texts wherever it may have one; return its file."""
    data = yaml.safe_load(SMALL.read_text("utf-8"))
    data["van"]["published"] = "https://manuals.example.org/v/b3wr-dunlin-9tqz/"
    light = {"where": "on the lid", "colour": "green", "pattern": "steady"}
    for name, piece in data["equipment"].items():
        piece["notes"] = f"A note on {name}."
        piece["indicators"] = [{**light, "meaning": f"{name} works.", "do": "Nothing to do."}]
    lamp = data["loads"]["light"]
    lamp |= {"words": ["lamp", "bulb"], "notes": "It has a switch."}
    data["loads"]["reading"] = {**deepcopy(lamp), "name": "reading light", "words": ["bed light"]}
    data["circuits"][0]["load"] = [data["circuits"][0]["load"], "reading"]
    van_file = put_into(folder)
    van_file.write_text(yaml.safe_dump(data, allow_unicode=True, sort_keys=False), "utf-8")
    return van_file
