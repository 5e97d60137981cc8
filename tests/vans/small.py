"""A sound van that is small, for tests in which it does not matter how much there is of anything."""

import shutil
from copy import deepcopy
from pathlib import Path

import yaml
from PIL import Image

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


def of_every_text(folder: Path) -> Path:
    """Write the van of `worded` with every other text that a van file may hold; return its file."""
    van_file = worded(folder)
    data = yaml.safe_load(van_file.read_text("utf-8"))
    day, by = "2026-03-14", "Hollow Lane Van Works"
    data["van"]["base"] = "panel van"
    data["places"]["box"]["picture"] = {"file": "seat.png", "alt": "the seat"}
    Image.new("RGB", (8, 8)).save(van_file.parent / "seat.png")
    data["workshop"] |= {"email": "bench@example.org", "hours": "weekdays"}
    data["texts"] = {"welcome": "Welcome.", "service": "Call us.", "handover": "It was shown."}
    bought = {"maker": "a maker", "type": "a type", "serial": "S 1", "batch": "B 1"}
    data["equipment"]["house"] |= {"make": "a make", "figures_from": "its data sheet", **bought}
    data["equipment"]["house"]["indicators"][0]["shows"] = "its state"
    data["loads"]["light"]["kept_live"] = "it lights the way out"
    record = ("rcd", "protective_device", "neutral_earth_bond", "polarity", "inspected_by", "notes")
    mains = {**{key: f"the {key}" for key in record}, "inspected": day}
    data["mains"] = {"hook_up": mains, "inverter_output": dict(mains), "changeover": "by hand"}
    written = ("gas_and_fuel_lines", "seat_and_airbag_wiring", "body_bonding", "gas_pipe_bonding")
    data["installation"] = {key: f"on {key}" for key in (*written, "crimp_tool", "pull_test")}
    data["alarms"] = [{"detects": "smoke", "place": "box", "position": "high up", "standard": "EN 14604"}]
    reading = {"what": "hum", "at": "the seat", "value": "none", "note": "with the engine off"}
    data["commissioning"] = [{"date": day, "by": by, "readings": [reading]}]
    data["services"] = [{"date": day, "by": by, "notes": "All well.", "readings": [dict(reading)]}]
    told = {"rule": "a rule", "subject": "house", "accepts": "it", "by": by, "date": day}
    data["reviewed"] = [{**told, "why": "It holds.", "evidence": "a photograph"}]
    fail = {**told, "keep_off": "the light"}
    data["documented"] = {"by": by, "date": day, "fails": [fail]}
    van_file.write_text(yaml.safe_dump(data, allow_unicode=True, sort_keys=False), "utf-8")
    return van_file
