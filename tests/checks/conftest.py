"""A small van in which everything is stated and nothing is wrong, to be spoilt in one place by a test."""

import copy
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest
import yaml

from vandoc.analysis import Van
from vandoc.judgement import checks
from vandoc.judgement.checks.finding import Finding
from vandoc.physics.sizing import Sizing
from vandoc.reading.loader import VanFile, load

Trail = tuple[str | int, ...]
REMOVE = "(remove)"
ADD = "(add)"

SOUND: dict[str, Any] = {
    "van": {
        "name": "Test van",
        "nominal": "12 V",
        "size": {"length": "6 m", "width": "2 m", "driver": "left"},
    },
    "workshop": {"name": "Workshop"},
    "places": {
        "box": {
            "label": "under the seat",
            "at": {"back": "2 m", "across": "0.5 m"},
            "access": "Lift the seat.",
            "hottest": "30 °C",
            "coldest": "-5 °C",
            "vent": "3000 cm²",
            "vents_to": "outside",
            "beside": [],
            "sleeping": False,
        },
        "galley": {
            "label": "in the kitchen",
            "at": {"back": "3 m", "across": "1.5 m"},
            "access": "Open the door.",
            "hottest": "30 °C",
        },
        "engine": {
            "label": "under the bonnet",
            "at": {"back": "0.5 m", "across": "1 m"},
            "access": "Open the bonnet.",
            "hottest": "50 °C",
            "inside": False,
            "engine_space": True,
        },
        "roof": {
            "label": "on the roof",
            "at": {"back": "3 m", "across": "1 m"},
            "hottest": "60 °C",
            "coldest": "-20 °C",
            "inside": False,
        },
    },
    "equipment": {
        "starter": {
            "kind": "battery",
            "name": "starter battery",
            "place": "engine",
            "covered": True,
            "role": "starter",
            "chemistry": "AGM",
            "capacity": "80 Ah",
            "resistance": "15 mΩ",
            "torque": "5 N·m",
        },
        "alternator": {
            "kind": "alternator",
            "name": "alternator",
            "place": "engine",
            "rating": "120 A",
            "regulation": "smart",
        },
        "house": {
            "kind": "battery",
            "name": "leisure battery",
            "place": "box",
            "covered": True,
            "chemistry": "AGM",
            "capacity": "200 Ah",
            "resistance": "15 mΩ",
            "charge_limit": "60 A",
            "fixing": "clamped",
            "pull_tested": "400 N",
            "torque": "8 N·m",
        },
        "main-fuse": {
            "kind": "fuse",
            "name": "main fuse",
            "place": "box",
            "covered": True,
            "family": "SF30",
            "rating": "80 A",
            "voltage": "32 V",
            "opens_at": "135 %",
            "torque": "5 N·m",
        },
        "isolator": {
            "kind": "isolator",
            "name": "main switch",
            "place": "box",
            "rating": "100 A",
            "voltage": "48 V",
            "torque": "8 N·m",
        },
        "plus": {
            "kind": "busbar",
            "name": "positive bar",
            "place": "box",
            "rating": "150 A",
            "torque": "8 N·m",
        },
        "minus": {
            "kind": "busbar",
            "name": "negative bar",
            "place": "box",
            "rating": "150 A",
            "torque": "8 N·m",
        },
        "earth": {
            "kind": "earth-point",
            "name": "earth bolt",
            "place": "box",
            "clean": True,
            "torque": "8 N·m",
        },
        "board": {
            "kind": "fuse-board",
            "name": "fuse board",
            "place": "box",
            "family": "C",
            "rows": 2,
            "columns": 4,
            "rating": "100 A",
            "fuses": {"3": {"rating": "15 A"}, "4": {"rating": "25 A"}},
            "torque": "5 N·m",
        },
        "driving": {
            "kind": "charger",
            "name": "driving charger",
            "place": "box",
            "source": "alternator",
            "output": "20 A",
            "ignition_feed": True,
            "may_lose_battery": True,
            "profile": {"absorption": "14.4 V", "float": "13.6 V", "temperature_sensor": True},
            "torque": "7 N·m",
        },
        "engine-signal": {
            "kind": "ignition-contact",
            "name": "ignition contact",
            "place": "engine",
            "rating": "10 A",
            "live_with": "engine",
            "torque": "1 N·m",
        },
        "ignition-fuse": {
            "kind": "fuse",
            "name": "ignition fuse",
            "place": "engine",
            "family": "F",
            "rating": "3 A",
            "voltage": "32 V",
        },
        "driving-in-fuse": {
            "kind": "fuse",
            "name": "charger fuse at the starter battery",
            "place": "engine",
            "covered": True,
            "family": "SF30",
            "rating": "30 A",
            "voltage": "32 V",
            "opens_at": "135 %",
            "torque": "5 N·m",
        },
        "driving-out-fuse": {
            "kind": "fuse",
            "name": "charger fuse at the bar",
            "place": "box",
            "family": "SF30",
            "rating": "30 A",
            "voltage": "32 V",
            "opens_at": "135 %",
            "torque": "5 N·m",
        },
        "panel": {
            "kind": "solar-array",
            "name": "solar panel",
            "place": "roof",
            "power": "100 W",
            "voc": "22 V",
            "isc": "6 A",
            "vmp": "18 V",
            "bypass": True,
        },
        "roof-switch": {
            "kind": "isolator",
            "name": "panel switch",
            "place": "box",
            "rating": "25 A",
            "voltage": "60 V",
            "breaking": "25 A",
            "torque": "2 N·m",
        },
        "solar": {
            "kind": "charger",
            "name": "solar controller",
            "place": "box",
            "source": "solar",
            "output": "10 A",
            "profile": {"absorption": "14.4 V", "float": "13.6 V", "temperature_sensor": True},
            "may_lose_battery": True,
            "max_voc": "50 V",
            "max_isc": "15 A",
            "common": "negative",
            "array_low": "50 W",
            "array_high": "300 W",
        },
        "hook-up": {
            "kind": "charger",
            "name": "mains charger",
            "place": "box",
            "source": "mains",
            "output": "20 A",
            "may_lose_battery": True,
            "profile": {"absorption": "14.4 V", "float": "13.6 V", "temperature_sensor": True},
        },
    },
    "loads": {
        "pump": {
            "name": "water pump",
            "place": "galley",
            "current": "5 A",
            "start": "9 A",
            "continuous": False,
            "hours": {"summer": "0.2 h", "winter": "0.2 h"},
        },
        "lights": {
            "name": "lights",
            "place": "galley",
            "power": "24 W",
            "importance": "lighting",
            "hours": {"summer": "2 h", "winter": "4 h"},
        },
    },
    "cable_defaults": {"insulation": "105 °C", "bunched": 1, "buried": "0 mm"},
    "cables": [
        {
            "id": "v1",
            "from": "alternator.+",
            "to": "starter.+",
            "length": "1 m",
            "area": "25 mm²",
            "vehicle": True,
        },
        {
            "id": "v2",
            "from": "starter.-",
            "to": "chassis",
            "length": "0.4 m",
            "area": "25 mm²",
            "vehicle": True,
        },
        {
            "id": "v3",
            "from": "starter.+",
            "to": "engine-signal.in",
            "length": "1 m",
            "area": "1.5 mm²",
            "vehicle": True,
        },
        {
            "id": "v4",
            "from": "engine-signal.out",
            "to": "ignition-fuse.in",
            "length": "0.3 m",
            "area": "1.5 mm²",
            "vehicle": True,
        },
        {
            "id": "ignition-wire",
            "from": "ignition-fuse.out",
            "to": "driving.ignition",
            "length": "4 m",
            "area": "1.5 mm²",
            "metal": "grommet",
            "signal": True,
        },
        {
            "id": "start",
            "from": "starter.+",
            "to": "driving-in-fuse.in",
            "length": "0.15 m",
            "area": "10 mm²",
        },
        {
            "id": "charge-in",
            "from": "driving-in-fuse.out",
            "to": "driving.in",
            "length": "4 m",
            "area": "10 mm²",
            "metal": "grommet",
        },
        {
            "id": "charge-out",
            "from": "driving.out",
            "to": "driving-out-fuse.out",
            "length": "0.5 m",
            "area": "10 mm²",
        },
        {
            "id": "charge-bar",
            "from": "driving-out-fuse.in",
            "to": "plus",
            "length": "0.1 m",
            "area": "10 mm²",
        },
        {"id": "charge-minus", "from": "driving.-", "to": "minus", "length": "0.5 m", "area": "10 mm²"},
        {"id": "battery-plus", "from": "house.+", "to": "main-fuse.in", "length": "0.15 m", "area": "16 mm²"},
        {
            "id": "to-switch",
            "from": "main-fuse.out",
            "to": "isolator.in",
            "length": "0.3 m",
            "area": "16 mm²",
        },
        {"id": "to-bar", "from": "isolator.out", "to": "plus", "length": "0.3 m", "area": "16 mm²"},
        {"id": "battery-minus", "from": "house.-", "to": "minus", "length": "0.3 m", "area": "16 mm²"},
        {"id": "earthing", "from": "minus", "to": "earth", "length": "0.4 m", "area": "16 mm²"},
        {"id": "feed", "from": "plus", "to": "board.in", "length": "0.5 m", "area": "16 mm²"},
        {
            "id": "roof-plus",
            "from": "panel.+",
            "to": "roof-switch.in",
            "length": "4 m",
            "area": "4 mm²",
            "metal": "grommet",
        },
        {
            "id": "roof-switched",
            "from": "roof-switch.out",
            "to": "solar.pv+",
            "length": "0.5 m",
            "area": "4 mm²",
        },
        {
            "id": "roof-minus",
            "from": "panel.-",
            "to": "solar.pv-",
            "length": "4 m",
            "area": "4 mm²",
            "metal": "grommet",
        },
        {"id": "solar-out", "from": "solar.out", "to": "board.3", "length": "0.6 m", "area": "4 mm²"},
        {"id": "solar-minus", "from": "solar.-", "to": "minus", "length": "0.6 m", "area": "4 mm²"},
        {"id": "hook-up-out", "from": "hook-up.out", "to": "board.4", "length": "0.4 m", "area": "4 mm²"},
        {"id": "hook-up-minus", "from": "hook-up.-", "to": "minus", "length": "0.4 m", "area": "4 mm²"},
    ],
    "circuits": [
        {
            "id": "water",
            "fuse": {"board": "board", "position": 1, "rating": "10 A"},
            "cable": {"length": "4 m", "area": "2.5 mm²"},
            "load": "pump",
            "return": "minus",
        },
        {
            "id": "lighting",
            "fuse": {"board": "board", "position": 2, "rating": "5 A"},
            "cable": {"length": "4 m", "area": "1.5 mm²"},
            "load": "lights",
            "return": "minus",
        },
    ],
    "use": {
        "driven": "1 h",
        "hook_up": "4 h",
        "shade": "10 %",
        "latitude": "45 °",
        "months": [5, 6, 7, 10],
        "nights": 3,
    },
    "mains": {
        "hook_up": {
            "rcd": "30 mA, type A",
            "protective_device": "two-pole circuit breaker, 10 A",
            "inspected": "2026-03-12",
            "polarity": "correct at every socket",
        }
    },
    "alarms": [
        {
            "detects": detects,
            "place": "galley",
            "position": "above the bed",
            "standard": standard,
            "replace_by": "2031-03-31",
            "tested": "2026-03-01",
            "tested_with": tested_with,
        }
        for detects, standard, tested_with in (
            ("carbon monoxide", "EN 50291-2", "test gas"),
            ("smoke", "EN 14604", "test smoke"),
        )
    ],
    "installation": {
        "gas_and_fuel_lines": "none within 100 mm of a cable",
        "seat_and_airbag_wiring": "not touched",
        "body_bonding": "tested by a licensed electrician",
        "gas_pipe_bonding": "tested by a licensed electrician",
        "crimp_tool": "ratchet tool, checked in January",
        "pull_test": "one lug of each size for a minute",
        "pulled": [{"area": "16 mm²", "force": "550 N"}],
        "cable_to_gas": "100 mm",
        "board_to_gas": "200 mm",
        "weight": "120 kg",
        "payload": "600 kg",
    },
}


@dataclass(frozen=True)
class CheckedVan:
    """A van that was written, read, sized and judged."""

    text: str
    van: Van
    findings: tuple[Finding, ...]

    @property
    def file(self) -> VanFile:
        return self.van.van_file

    @property
    def sizing(self) -> Sizing:
        return self.van.sizing

    def of(self, rule: str) -> tuple[Finding, ...]:
        """The findings of one rule."""
        return tuple(finding for finding in self.findings if finding.rule == rule)

    def line(self, trail: Trail) -> int:
        """Where a value begins, by PyYAML's own composer."""
        node = yaml.compose(self.text)
        for step in trail:
            if isinstance(node, yaml.MappingNode):
                node = next(value for key, value in node.value if key.value == str(step))
            elif isinstance(step, str):
                node = next(entry for entry in node.value if _says(entry, "id", step))
            else:
                node = node.value[step]
        return node.start_mark.line + 1


def _says(node: yaml.Node, key: str, text: str) -> bool:
    return any(name.value == key and value.value == text for name, value in node.value)


def _child(holder: Any, step: str | int) -> Any:
    """The value at a step; a word finds the entry of a list by its id."""
    if isinstance(holder, list) and isinstance(step, str):
        return next(entry for entry in holder if entry.get("id") == step)
    return holder.setdefault(step, {}) if isinstance(holder, dict) else holder[step]


def changed(van: Mapping[str, Any], changes: Mapping[Trail, Any]) -> dict[str, Any]:
    """A copy with values set; `REMOVE` takes one away, the step `ADD` puts one at the end of a list."""
    result = copy.deepcopy(dict(van))
    for trail, value in copy.deepcopy(dict(changes)).items():
        *parents, last = trail[: trail.index(ADD) + 1] if ADD in trail else trail
        holder: Any = result
        for step in parents:
            holder = _child(holder, step)
        if value == REMOVE:
            if isinstance(holder, list):
                holder.remove(_child(holder, last))
            else:
                holder.pop(last, None)
        elif last == ADD:
            holder.extend(value if isinstance(value, list) else [value])
        else:
            holder[last] = value
    return result


def judge(plain: Mapping[str, Any], folder: Path) -> CheckedVan:
    """Write a van file and judge it."""
    path = folder / "van.yml"
    text = yaml.safe_dump(dict(plain), sort_keys=False, allow_unicode=True, width=1000)
    text = text.replace("inspected: '2026-03-12'", "inspected: 2026-03-12")
    path.write_text(text, "utf-8")
    file = load(path, folder)
    van = Van.of(file)
    return CheckedVan(text, van, checks.run(van))


Spoil = Callable[[Mapping[Trail, Any]], CheckedVan]


@pytest.fixture(scope="session")
def sound(tmp_path_factory: pytest.TempPathFactory) -> CheckedVan:
    """The sound van."""
    return judge(SOUND, tmp_path_factory.mktemp("sound"))


@pytest.fixture
def spoil(tmp_path: Path) -> Spoil:
    """Change the sound van and judge it."""
    return lambda changes: judge(changed(SOUND, changes), tmp_path)


@pytest.fixture
def judge_again() -> Callable[[CheckedVan], tuple[Finding, ...]]:
    """Run every rule once more on a van that was judged."""
    return lambda judged: checks.run(Van.of(judged.file))
