"""Each rule finds its fault: the sound van, spoilt in one place, gives exactly the finding expected."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import pytest
import yaml

from vandoc.judgement.checks import rules

Trail = tuple[str | int, ...]
REMOVE, ADD = "(remove)", "(add)"


@dataclass(frozen=True)
class Fault:
    """A change, and what it must be found to be."""

    rule: str
    subject: str
    at: Trail
    changes: Mapping[Trail, Any]
    severity: str = "fail"
    also: frozenset[str] = field(default_factory=frozenset)  # what cannot but follow from the same change

    def __str__(self) -> str:
        return f"{self.rule}-{self.severity}-{self.subject}"


def cable(ident: str, key: str, value: Any) -> dict[Trail, Any]:
    return {("cables", ident, key): value}


def piece(ident: str, key: str, value: Any) -> dict[Trail, Any]:
    return {("equipment", ident, key): value}


def bar(name: str = "spare bar") -> dict[str, Any]:
    return {"kind": "busbar", "name": name, "place": "box", "rating": "150 A", "torque": "8 N·m"}


def fuse(family: str, rating: str, place: str = "box", name: str = "one fuse more") -> dict[str, Any]:
    named = {"kind": "fuse", "name": name, "place": place, "family": family, "rating": rating}
    return {**named, "torque": "5 N·m", "voltage": "32 V", "covered": True}


def wire(ident: str, start: str, end: str, length: str, area: str, **more: Any) -> dict[str, Any]:
    return {"id": ident, "from": start, "to": end, "length": length, "area": area, **more}


LITHIUM: dict[Trail, Any] = {
    ("equipment", "house", "chemistry"): "LiFePO4",
    ("equipment", "house", "discharge_limit"): "100 A",
    ("equipment", "house", "low_temperature_lockout"): True,
    ("equipment", "driving", "profile", "compensation"): "0 mV/K",
    ("equipment", "solar", "profile", "compensation"): "0 mV/K",
    ("equipment", "hook-up", "profile", "compensation"): "0 mV/K",
}
FLOODED: dict[Trail, Any] = {("equipment", "house", "chemistry"): "flooded"}
RELAY: dict[Trail, Any] = {  # a relay with so much cable that little flows
    ("equipment", "split"): {
        "kind": "relay",
        "name": "split-charge relay",
        "place": "box",
        "purpose": "split-charge",
        "rating": "100 A",
        "voltage": "24 V",
        "torque": "5 N·m",
    },
    ("equipment", "driving-in-fuse", "rating"): "40 A",
    ("cables", ADD): wire("split-a", "driving-in-fuse.out", "split.a", "60 m", "6 mm²", metal="grommet"),
    ("equipment", "board", "fuses", "5"): {"rating": "15 A"},
}
RELAY_END = wire("split-b", "split.b", "board.5", "0.5 m", "4 mm²")
PV_FUSE: dict[Trail, Any] = {
    ("equipment", "pv-fuse"): fuse("C", "10 A"),
    ("cables", "roof-plus", "to"): "pv-fuse.in",
    ("cables", ADD): wire("pv-fused", "pv-fuse.out", "roof-switch.in", "0.2 m", "4 mm²"),
}
CERTIFIED = {
    "rcd": "30 mA, type A",
    "protective_device": "two-pole circuit breaker, 6 A",
    "inspected": "2026-03-12",
    "neutral_earth_bond": "in the inverter",
}
INVERTER: dict[Trail, Any] = {
    ("equipment", "inverter"): {
        "kind": "inverter",
        "name": "inverter",
        "place": "box",
        "power": "100 W",
        "torque": "5 N·m",
        "hours": {"summer": "0.1 h", "winter": "0.1 h"},
    },
    ("cables", ADD): [
        wire("inverter-plus", "board.5", "inverter.+", "0.5 m", "4 mm²"),
        wire("inverter-minus", "inverter.-", "minus", "0.5 m", "4 mm²"),
    ],
    ("equipment", "board", "fuses", "5"): {"rating": "15 A"},
}
TWIN: dict[Trail, Any] = {  # a second battery beside the first, plus and minus of both at the first
    ("equipment", "house", "resistance"): "30 mΩ",
    ("equipment", "house", "installed"): "2026-01-10",
    ("equipment", "house", "make"): "AGM 200",
    ("equipment", "house-2"): {
        "kind": "battery",
        "name": "second leisure battery",
        "place": "box",
        "chemistry": "AGM",
        "capacity": "200 Ah",
        "resistance": "30 mΩ",
        "charge_limit": "60 A",
        "fixing": "clamped",
        "pull_tested": "400 N",
        "covered": True,
        "installed": "2026-01-10",
        "make": "AGM 200",
        "torque": "8 N·m",
    },
}
POST_TO_POST = frozenset({"parallel-battery-without-disconnect"})


def twin_cables(length: str, area: str) -> list[dict[str, Any]]:
    return [
        wire("link-plus", "house-2.+", "house.+", length, area, sheathed=True),
        wire("link-minus", "house-2.-", "house.-", length, area),
    ]


def winch(ident: str) -> dict[str, Any]:
    hours = {"summer": "0 h", "winter": "0 h"}
    return {"name": ident, "place": "galley", "current": "35 A", "continuous": False, "hours": hours}


def winch_cables(ident: str, back: str) -> list[dict[str, Any]]:
    return [
        wire(f"{ident}-bar", "plus", f"{ident}-fuse.in", "0.1 m", "16 mm²"),
        wire(f"{ident}-plus", f"{ident}-fuse.out", f"{ident}.+", "1 m", "10 mm²"),
        wire(f"{ident}-minus", f"{ident}.-", back, "1 m", "10 mm²"),
    ]


def fan_behind(fuse_piece: dict[str, Any], length: str, area: str, **load: Any) -> dict[Trail, Any]:
    """One load more, behind a fuse of its own at the positive bar."""
    hours = {"summer": "0 h", "winter": "0 h"}
    fan = {"name": "fan", "place": "galley", "continuous": False, "hours": hours, **load}
    return {
        ("equipment", "fan-fuse"): fuse_piece,
        ("loads", "fan"): fan,
        ("cables", ADD): [
            wire(
                "fan-bar",
                "plus",
                "fan-fuse.in",
                "0.1 m",
                "10 mm²" if fuse_piece["family"] == "E" else "6 mm²",
            ),
            wire("fan-plus", "fan-fuse.out", "fan.+", length, area),
            wire("fan-minus", "fan.-", "minus", length, area),
        ],
    }


FAULTS = [
    # connections
    Fault("short-circuit", "charge-minus", ("cables", "charge-minus"), cable("charge-minus", "to", "plus")),
    Fault(
        "not-fed",
        "lights",
        ("circuits", "lighting", "cable"),
        {("equipment", "spare"): bar(), ("circuits", "lighting", "return"): "spare"},
    ),
    Fault(
        "batteries-in-series",
        "link",
        ("cables", "link"),
        {
            **TWIN,
            ("cables", "battery-plus", "from"): "house-2.+",
            ("cables", ADD): wire("link", "house.+", "house-2.-", "0.3 m", "35 mm²"),
        },
    ),
    Fault(
        "batteries-crossed",
        "link-plus",
        ("cables", "link-plus"),
        {
            **TWIN,
            ("cables", ADD): [
                wire("link-plus", "house-2.+", "house.-", "0.3 m", "35 mm²"),
                wire("link-minus", "house-2.-", "house.+", "3 m", "1.5 mm²"),
            ],
        },
    ),
    Fault(
        "cable-without-length",
        "charge-bar",
        ("cables", "charge-bar"),
        cable("charge-bar", "length", "0 m"),
        "review",
    ),
    Fault("wrong-voltage", "pump", ("loads", "pump"), {("loads", "pump", "nominal"): "24 V"}),
    Fault("not-connected", "spare", ("equipment", "spare"), {("equipment", "spare"): bar()}, "review"),
    # plausibility
    Fault(
        "van-size-implausible",
        "van",
        ("van", "size", "length"),
        {("van", "size", "length"): "1000 m"},
        "review",
    ),
    Fault(
        "cable-implausibly-long",
        "lighting",
        ("circuits", "lighting", "cable"),
        {
            ("circuits", "lighting", "cable", "length"): "61 m",
            ("circuits", "lighting", "cable", "area"): "10 mm²",
            ("equipment", "board", "cable_per_position"): "10 mm²",
        },
        "review",
    ),
    Fault("date-implausible", "van", ("van", "built"), {("van", "built"): "0001-01-01"}, "review"),
    Fault(
        "start-below-running",
        "lights",
        ("loads", "lights", "start"),
        {("loads", "lights", "start"): "0.1 A"},
        "review",
    ),
    # protection
    Fault(
        "no-fuse",
        "charge-in",
        ("cables", "charge-in"),
        {
            **cable("charge-in", "from", "starter.+"),
            ("cables", "start"): REMOVE,
            ("equipment", "driving-in-fuse"): REMOVE,
        },
        also=frozenset({"terminal-not-covered"}),
    ),
    Fault(
        "fuse-too-far", "battery-plus", ("cables", "battery-plus"), cable("battery-plus", "length", "0.5 m")
    ),
    Fault(
        "fuse-above-capacity",
        "water",
        ("circuits", "water", "cable"),
        {("circuits", "water", "fuse", "rating"): "40 A"},
        also=frozenset({"fuse-opens-too-late"}),  # its gates no longer show that it opens in time
    ),
    Fault(
        "source-above-capacity",
        "thin",
        ("cables", "thin"),
        {
            ("equipment", "converter"): {
                "kind": "converter",
                "name": "steady supply",
                "place": "box",
                "input_voltage": "12 V",
                "output_voltage": "12 V",
                "output": "25 A",
            },
            ("equipment", "board", "fuses", "5"): {"rating": "35 A"},
            ("loads", "fan"): {
                "name": "fan",
                "place": "galley",
                "current": "3 A",
                "hours": {"summer": "0 h", "winter": "0 h"},
            },
            ("cables", ADD): [
                wire("converter-in", "board.5", "converter.in", "0.5 m", "4 mm²"),
                wire("converter-minus", "converter.-", "minus", "0.5 m", "4 mm²"),
                wire("thin", "converter.out", "fan.+", "1 m", "1 mm²"),
                wire("thin-minus", "fan.-", "converter.-", "1 m", "1 mm²"),
            ],
        },
        also=frozenset({"cable-below-smallest"}),
    ),
    # capacity
    Fault("insulation-below-place", "start", ("cables", "start"), cable("start", "insulation", "50 °C")),
    Fault(
        "cable-above-capacity",
        "hook-up-minus",
        ("cables", "hook-up-minus"),
        cable("hook-up-minus", "bunched", 20),
    ),
    Fault(
        "cable-above-capacity",
        "hook-up-minus",
        ("cables", "hook-up-minus"),
        cable("hook-up-minus", "insulation", "55 °C"),
        "review",
    ),
    Fault(
        "no-size-fits",
        "to-bar",
        ("cables", "to-bar"),
        {
            ("places", "oven"): {
                "label": "behind the oven",
                "at": {"back": "3 m", "across": "1 m"},
                "hottest": "59 °C",
            },
            ("cables", "to-bar", "area"): REMOVE,
            ("equipment", "isolator", "largest_cable"): "120 mm²",
            ("equipment", "plus", "largest_cable"): "120 mm²",
            ("cables", "to-bar", "insulation"): "60 °C",
            ("cables", "to-bar", "bunched"): 20,
            ("cables", "to-bar", "through"): ["oven"],
        },
    ),
    Fault(
        "cable-below-smallest",
        "lighting",
        ("circuits", "lighting", "cable"),
        {("circuits", "lighting", "cable", "area"): "0.75 mm²"},
        "review",
    ),
    Fault(
        "engine-space-cooler",
        "engine",
        ("places", "engine", "hottest"),
        {("places", "engine", "hottest"): "40 °C"},
        "review",
    ),
    # fuses
    Fault(
        "no-fuse-fits",
        "main-fuse",
        ("equipment", "main-fuse"),
        {
            **piece("main-fuse", "family", "C"),
            ("equipment", "main-fuse", "rating"): REMOVE,
            ("equipment", "driving", "output"): "35 A",  # with 10 A of sun more than the 40 A of type C
            ("equipment", "driving-in-fuse", "rating"): "60 A",
            ("equipment", "driving-out-fuse", "rating"): "50 A",
            ("equipment", "main-fuse", "largest_cable"): "16 mm²",
        },
    ),
    Fault(
        "fuse-below-current",
        "lighting",
        ("circuits", "lighting", "fuse"),
        {("circuits", "lighting", "fuse", "rating"): "1 A"},
    ),
    Fault(
        "fuse-above-continuous",
        "lighting",
        ("circuits", "lighting", "fuse"),
        {("circuits", "lighting", "fuse", "rating"): "2 A"},
    ),
    Fault(
        "fuse-below-start",
        "water",
        ("circuits", "water", "fuse"),
        {("loads", "pump", "start"): "25 A"},
        also=frozenset({"start-voltage-unsure"}),
    ),
    Fault("fuse-voltage", "main-fuse", ("equipment", "main-fuse"), piece("main-fuse", "voltage", "10 V")),
    Fault(
        "fuse-voltage",
        "pv-fuse",
        ("equipment", "pv-fuse"),
        {
            **PV_FUSE,
            ("equipment", "pv-fuse", "voltage"): REMOVE,
            ("equipment", "panel", "series"): 2,
            ("equipment", "panel", "power"): "50 W",
        },
        "review",
        also=frozenset({"voltage-above-rating"}),  # nor is the rating of its holder stated
    ),
    Fault(
        "fuse-above-family",
        "pv-fuse",
        ("equipment", "pv-fuse"),
        {**PV_FUSE, ("equipment", "pv-fuse", "rating"): "50 A"},
    ),
    Fault(
        "fuse-not-standard",
        "water",
        ("circuits", "water", "fuse"),
        {("circuits", "water", "fuse", "rating"): "12 A"},
    ),
    Fault(
        "breaking-capacity", "main-fuse", ("equipment", "main-fuse"), piece("main-fuse", "breaking", "500 A")
    ),
    Fault(
        "breaking-capacity-unproven",
        "main-fuse",
        ("equipment", "main-fuse"),
        piece("main-fuse", "family", "class-T"),
        "review",
    ),
    Fault(
        "breaking-capacity-backed-up",
        "board",
        ("equipment", "board"),
        piece("house", "resistance", "7 mΩ"),
        "review",
    ),
    # faults
    Fault(
        "short-circuit-unseen",
        "lights",
        ("circuits", "lighting", "cable"),
        {("circuits", "lighting", "cable", "length"): "60 m"},
        also=frozenset({"voltage-drop"}),
    ),
    Fault(
        "fuse-opens-too-late",
        "fan-plus",
        ("cables", "fan-plus"),
        fan_behind(fuse("E", "80 A"), "1 m", "1 mm²", current="2 A"),
        also=frozenset({"fuse-above-capacity", "cable-below-smallest"}),
    ),
    Fault(
        "fuse-may-open-too-late",
        "fan-plus",
        ("cables", "fan-plus"),
        fan_behind(fuse("SF30", "70 A"), "0.6 m", "1 mm²", current="2 A"),
        "review",
        also=frozenset({"fuse-above-capacity", "cable-below-smallest"}),
    ),
    Fault(
        "fuse-opens-too-late",
        "fan-fuse",
        ("equipment", "fan-fuse"),
        fan_behind(fuse("ANL", "35 A"), "1 m", "6 mm²", current="2 A"),
        "review",
    ),
    Fault(
        "fuses-may-open-together",
        "board",
        ("equipment", "board"),
        piece("main-fuse", "family", "class-T"),
        "note",
        also=frozenset({"breaking-capacity-unproven"}),
    ),
    # ratings
    Fault("current-above-rating", "minus", ("equipment", "minus"), piece("minus", "rating", "20 A")),
    Fault(
        "current-above-rating", "board", ("equipment", "board"), piece("board", "rating", REMOVE), "review"
    ),
    Fault("fuse-above-rating", "isolator", ("equipment", "isolator"), piece("isolator", "rating", "60 A")),
    # drop
    Fault(
        "voltage-drop",
        "lights",
        ("circuits", "lighting", "cable"),
        {("circuits", "lighting", "cable", "length"): "40 m"},
        also=frozenset({"fuse-opens-too-late"}),  # so little current that its gates leave the time open
    ),
    Fault(
        "voltage-drop",
        "fan",
        ("loads", "fan"),
        {
            ("equipment", "dynamo"): {
                "kind": "alternator",
                "name": "second alternator",
                "place": "engine",
                "rating": "20 A",
                "regulation": "fixed",
            },
            ("loads", "fan"): {"name": "fan", "place": "engine", "current": "3 A"},
            ("cables", ADD): [
                wire("fan-plus", "dynamo.+", "fan.+", "1 m", "2.5 mm²"),
                wire("fan-minus", "fan.-", "chassis", "1 m", "2.5 mm²"),
            ],
        },
        "review",
    ),
    Fault(
        "below-lowest-voltage",
        "pump",
        ("circuits", "water", "cable"),
        {("loads", "pump", "lowest"): "11.9 V"},
    ),
    # operating
    Fault(
        "no-operating-point",
        "fan",
        ("loads", "fan"),
        fan_behind(fuse("E", "60 A"), "16 m", "10 mm²", power="650 W", behaves="power"),
        also=frozenset({"voltage-drop", "fuse-opens-too-late"}),
    ),
    Fault(
        "state-current-above-capacity",
        "fan-plus",
        ("cables", "fan-plus"),
        {
            **fan_behind(fuse("C", "40 A"), "0.8 m", "6 mm²", power="450 W", behaves="power"),
            ("cables", "fan-plus", "bunched"): 3,
        },
    ),
    Fault(
        "state-current-above-fuse",
        "fan-fuse",
        ("equipment", "fan-fuse"),
        fan_behind(fuse("E", "30 A"), "2 m", "10 mm²", power="340 W", behaves="power"),
    ),
    Fault(
        "relay-drains-leisure",
        "split",
        ("equipment", "split"),
        {
            **RELAY,
            **LITHIUM,
            ("cables", ADD, 1): RELAY_END,
            ("equipment", "alternator", "regulation"): "fixed",
            ("equipment", "alternator", "rating"): "10 A",
        },
        "review",
        also=frozenset({"relay-charges-lithium", "alternator-overdrawn", "body-fault-unseen"}),
    ),
    # returns
    Fault(
        "return-below-supply",
        "hook-up",
        ("cables", "hook-up-minus"),
        cable("hook-up-minus", "area", "2.5 mm²"),
    ),
    Fault(
        "return-below-supply",
        "water",
        ("circuits", "water", "return"),
        {("circuits", "water", "return"): {"to": "minus", "area": "1.5 mm²"}},
    ),
    Fault(
        "fuse-above-return",
        "trunk",
        ("cables", "trunk"),
        {
            ("equipment", "far-bar"): bar(),
            ("circuits", "water", "return"): "far-bar",
            ("circuits", "lighting", "return"): "far-bar",
            ("cables", ADD): wire("trunk", "far-bar", "minus", "0.5 m", "1 mm²", bunched=3),
        },
        also=frozenset({"cable-below-smallest"}),
    ),
    Fault("earth-point-not-clean", "earth", ("equipment", "earth"), piece("earth", "clean", False)),
    Fault(
        "earth-point-not-clean", "earth", ("equipment", "earth"), piece("earth", "clean", REMOVE), "review"
    ),
    Fault(
        "earth-point-shared",
        "winch-2",
        ("loads", "winch-2"),
        {
            ("loads", "winch-1"): winch("winch-1"),
            ("loads", "winch-2"): winch("winch-2"),
            ("equipment", "winch-1-fuse"): fuse("SF30", "40 A"),
            ("equipment", "winch-2-fuse"): fuse("SF30", "40 A", name="another fuse"),
            ("equipment", "far-earth"): {
                "kind": "earth-point",
                "name": "far earth bolt",
                "place": "galley",
                "clean": True,
                "torque": "8 N·m",
            },
            ("cables", ADD): [*winch_cables("winch-1", "far-earth"), *winch_cables("winch-2", "far-earth")],
        },
    ),
    Fault(
        "earth-point-missing",
        "winch-1",
        ("loads", "winch-1"),
        {
            ("loads", "winch-1"): winch("winch-1"),
            ("equipment", "winch-1-fuse"): fuse("SF30", "40 A"),
            ("cables", ADD): winch_cables("winch-1", "chassis"),
        },
        "review",
    ),
    Fault(
        "sensor-bypassed",
        "house",
        ("cables", "hook-up-minus"),
        {
            **piece("house", "sensor", True),
            **cable("battery-minus", "from", "house.sensor"),
            **cable("hook-up-minus", "to", "house.-"),
        },
    ),
    Fault(
        "shunt-bypassed",
        "shunt",
        ("cables", "hook-up-minus"),
        {
            ("equipment", "shunt"): {
                "kind": "shunt",
                "name": "shunt",
                "place": "box",
                "rating": "100 A",
                "torque": "5 N·m",
            },
            **cable("battery-minus", "to", "shunt.battery"),
            **cable("hook-up-minus", "to", "house.-"),
            ("cables", ADD): wire("shunt-minus", "shunt.system", "minus", "0.2 m", "16 mm²"),
        },
    ),
    # charging
    Fault(
        "split-charge-on-smart-alternator",
        "split",
        ("equipment", "split"),
        {**RELAY, ("cables", ADD, 1): RELAY_END},
        also=frozenset({"body-fault-unseen"}),
    ),
    Fault(
        "relay-overdraws-alternator",
        "alternator",
        ("equipment", "alternator"),
        {
            **RELAY,
            ("cables", ADD, 1): RELAY_END,
            **piece("alternator", "regulation", "fixed"),
            ("equipment", "alternator", "spare"): "25 A",
        },
        "review",
        frozenset({"body-fault-unseen"}),
    ),
    Fault(
        "relay-charges-lithium",
        "split",
        ("equipment", "split"),
        {
            **RELAY,
            **LITHIUM,
            ("cables", ADD, 1): RELAY_END,
            ("equipment", "alternator", "regulation"): "fixed",
        },
        "review",
        frozenset({"body-fault-unseen"}),
    ),
    Fault(
        "relay-current-unlimited",
        "split",
        ("equipment", "split"),
        {
            **RELAY,
            ("cables", ADD, 1): RELAY_END,
            ("equipment", "alternator", "regulation"): "fixed",
            ("equipment", "house", "charge_limit"): "2 A",
        },
        "review",
        also=frozenset({"charge-current-above-limit", "body-fault-unseen"}),
    ),
    Fault(
        "charger-without-own-voltage",
        "driving",
        ("equipment", "driving", "own_voltage"),
        piece("driving", "own_voltage", False),
    ),
    Fault(
        "charger-without-ignition-feed",
        "driving",
        ("equipment", "driving", "ignition_feed"),
        piece("driving", "ignition_feed", False),
        also=frozenset({"live-from-starter"}),
    ),
    Fault(
        "charger-without-ignition-feed",
        "driving",
        ("equipment", "driving"),
        piece("driving", "ignition_feed", REMOVE),
        "review",
        frozenset({"live-from-starter"}),
    ),
    Fault(
        "alternator-overdrawn",
        "alternator",
        ("equipment", "alternator"),
        piece("alternator", "rating", "40 A"),
    ),
    Fault(
        "alternator-overdrawn",
        "alternator",
        ("equipment", "alternator"),
        piece("alternator", "spare", "20 A"),
    ),
    Fault(
        "charge-current-above-limit",
        "hook-up",
        ("equipment", "hook-up"),
        {
            **piece("house", "charge_limit", "15 A"),
            ("equipment", "driving", "output"): "10 A",
        },
    ),
    Fault(
        "charge-current-above-recommended",
        "hook-up",
        ("equipment", "hook-up"),
        {
            **LITHIUM,
            ("equipment", "house", "capacity"): "38 Ah",
            ("equipment", "house", "charge_limit"): REMOVE,
            ("use", "nights"): 1,
            ("equipment", "driving", "output"): "5 A",
        },
        "review",
        also=frozenset({"charge-current-above-limit"}),
    ),
    Fault(
        "chargers-together-above-limit",
        "house",
        ("equipment", "house"),
        piece("house", "charge_limit", "25 A"),  # 20 A of sun and engine or hook-up, and 10 A of sun
        "review",
    ),
    Fault(
        "charger-feeds-nothing",
        "hook-up",
        ("equipment", "hook-up"),
        {("equipment", "spare"): bar(), **cable("hook-up-out", "to", "spare")},
    ),
    # profiles
    Fault(
        "absorption-voltage",
        "solar",
        ("equipment", "solar", "profile", "absorption"),
        {("equipment", "solar", "profile", "absorption"): "15.5 V"},
        also=frozenset({"string-below-charging-voltage"}),
    ),
    Fault(
        "charger-loses-battery",
        "hook-up",
        ("equipment", "hook-up"),
        piece("hook-up", "may_lose_battery", REMOVE),
        "review",
    ),
    Fault(
        "no-bypass-diodes",
        "panel",
        ("equipment", "panel"),
        {
            ("equipment", "panel", "bypass"): REMOVE,
            ("equipment", "panel", "series"): 2,
            ("equipment", "panel", "power"): "50 W",
        },
        "review",
    ),
    Fault("absorption-voltage", "solar", ("equipment", "solar"), piece("solar", "profile", REMOVE), "review"),
    Fault(
        "float-voltage",
        "solar",
        ("equipment", "solar", "profile", "float"),
        {("equipment", "solar", "profile", "float"): "14.2 V"},
        "review",
    ),
    Fault(
        "no-temperature-sensor",
        "solar",
        ("equipment", "solar", "profile"),
        {("equipment", "solar", "profile", "temperature_sensor"): False},
        "review",
    ),
    Fault(
        "no-temperature-sensor",
        "hook-up",
        ("equipment", "hook-up", "profile"),
        {("equipment", "hook-up", "profile", "temperature_sensor"): REMOVE},
        "review",
    ),
    Fault(
        "lithium-charged-in-cold",
        "house",
        ("equipment", "house"),
        {
            **LITHIUM,
            ("equipment", "house", "low_temperature_lockout"): False,
            ("equipment", "hook-up", "profile", "low_temperature_lockout"): False,
        },
    ),
    Fault(
        "lithium-charged-in-cold",
        "house",
        ("equipment", "house"),
        {**LITHIUM, ("equipment", "house", "low_temperature_lockout"): REMOVE},
        "review",
    ),
    # solar
    Fault(
        "array-voltage-above-controller", "solar", ("equipment", "solar"), piece("solar", "max_voc", "20 V")
    ),
    Fault(
        "array-voltage-above-controller",
        "solar",
        ("equipment", "solar"),
        piece("solar", "max_voc", REMOVE),
        "review",
    ),
    Fault(
        "array-current-above-controller", "solar", ("equipment", "solar"), piece("solar", "max_isc", "5 A")
    ),
    Fault(
        "array-current-above-controller",
        "solar",
        ("equipment", "solar"),
        piece("solar", "max_isc", REMOVE),
        "review",
    ),
    Fault(
        "voltage-coefficient-positive",
        "panel",
        ("equipment", "panel", "voc_coefficient"),
        piece("panel", "voc_coefficient", "0.3 %/K"),
        "review",
    ),
    Fault("array-above-controller", "solar", ("equipment", "solar"), piece("solar", "array_high", "80 W")),
    Fault(
        "array-above-controller",
        "solar",
        ("equipment", "solar"),
        piece("solar", "array_high", REMOVE),
        "review",
    ),
    Fault(
        "array-below-controller",
        "solar",
        ("equipment", "solar"),
        piece("solar", "array_low", "120 W"),
        "review",
    ),
    Fault(
        "array-outside-usual",
        "solar",
        ("equipment", "solar"),
        {**piece("panel", "power", "40 W"), ("equipment", "solar", "array_low"): "30 W"},
        "note",
    ),
    Fault("array-above-output", "solar", ("equipment", "solar"), piece("panel", "power", "150 W"), "note"),
    Fault(
        "strings-without-fuses",
        "solar",
        ("equipment", "solar"),
        {
            ("equipment", "panel", "parallel"): 3,
            ("equipment", "panel", "power"): "30 W",
            ("equipment", "panel", "isc"): "2 A",
        },
        "review",
    ),
    # batteries
    Fault(
        "no-isolator",
        "house",
        ("equipment", "house"),
        {
            ("cables", "to-switch"): REMOVE,
            ("equipment", "isolator"): REMOVE,
            **cable("to-bar", "from", "main-fuse.out"),
        },
    ),
    Fault(
        "bypasses-isolator",
        "house",
        ("equipment", "house"),
        cable("feed", "from", "main-fuse.out"),
        "review",
    ),
    Fault(
        "live-when-off",
        "panel",
        ("equipment", "panel"),
        cable("roof-plus", "to", "roof-switch.out"),
        also=frozenset({"not-connected"}),
    ),
    Fault(
        "live-from-starter",
        "starter",
        ("equipment", "starter"),
        {
            ("equipment", "cab-fuse"): fuse("SF30", "30 A"),
            ("loads", "cab"): {
                "name": "cab socket",
                "place": "galley",
                "current": "5 A",
                "hours": {"summer": "0 h", "winter": "0 h"},
            },
            ("cables", ADD): [
                wire("cab-start", "starter.+", "cab-fuse.in", "0.15 m", "10 mm²", metal="grommet"),
                wire("cab-plus", "cab-fuse.out", "cab.+", "2 m", "10 mm²", metal="grommet"),
                wire("cab-minus", "cab.-", "starter.-", "2 m", "10 mm²", metal="grommet"),
            ],
        },
        "review",
    ),
    Fault(
        "parallel-batteries-unlike",
        "house-2",
        ("equipment", "house-2"),
        {
            **TWIN,
            ("equipment", "house-2", "capacity"): "100 Ah",
            ("cables", ADD): twin_cables("0.15 m", "16 mm²"),
        },
        also=POST_TO_POST,
    ),
    Fault(
        "parallel-batteries-uneven",
        "house",
        ("equipment", "house"),
        {**TWIN, ("cables", ADD): twin_cables("1 m", "10 mm²")},
        also=POST_TO_POST,
    ),
    Fault(
        "battery-above-discharge-limit",
        "house",
        ("equipment", "house", "discharge_limit"),
        piece("house", "discharge_limit", "5 A"),
    ),
    Fault(
        "battery-above-discharge-limit",
        "house",
        ("equipment", "house"),
        {**LITHIUM, ("equipment", "house", "discharge_limit"): REMOVE},
        "review",
    ),
    Fault("unusual-block-voltage", "house", ("equipment", "house"), piece("house", "series", 5), "review"),
    # energy
    Fault("energy-not-stated", "use", ("use",), {("use", "hook_up"): REMOVE}, "review"),
    Fault("nights-not-lasted", "house", ("use", "nights"), {("use", "nights"): 40}, "review"),
    Fault(
        "battery-not-charged",
        "house-2",
        ("equipment", "house-2"),
        {("equipment", "house-2"): TWIN["equipment", "house-2"]},
        "review",
        frozenset({"not-connected", "body-not-bonded"}),
    ),
    Fault("sun-not-known", "use", ("use", "latitude"), {("use", "latitude"): "70 °"}, "review"),
    Fault("sun-never-covers", "house", ("equipment", "house"), {("use", "shade"): "95 %"}, "note"),
    Fault(
        "charge-below-need",
        "house",
        ("equipment", "house"),
        {("use", "driven"): "0 h", ("use", "hook_up"): "0 h", ("use", "shade"): "95 %"},
        "review",
        frozenset({"sun-never-covers"}),
    ),
    Fault(
        "never-full",
        "house",
        ("equipment", "house"),
        {
            **piece("driving", "output", "1 A"),
            **piece("hook-up", "output", "1 A"),
            ("loads", "lights", "hours"): {"summer": "24 h", "winter": "24 h"},
            ("use", "nights"): 1,
        },
        "review",
        frozenset({"sun-never-covers", "charge-below-need"}),
    ),
    Fault(
        "worn-out-by-use",
        "house",
        ("equipment", "house"),
        {
            ("loads", "lights", "hours"): {"summer": "24 h", "winter": "24 h"},
            ("use", "months"): list(range(1, 13)),
            ("use", "nights"): 1,
        },
        "note",
        frozenset({"sun-never-covers"}),
    ),
    # places
    Fault("no-grommet", "charge-in", ("cables", "charge-in"), cable("charge-in", "metal", "bare")),
    Fault("no-grommet", "charge-in", ("cables", "charge-in"), cable("charge-in", "metal", REMOVE), "review"),
    Fault(
        "spark-in-gas-locker",
        "pump",
        ("loads", "pump"),
        {("places", "galley", "gas_locker"): True, ("loads", "lights", "sparks"): False},
        also=frozenset({"alarm-missing"}),
    ),
    Fault(
        "battery-not-ventilated",
        "house",
        ("places", "box", "vents_to"),
        {**FLOODED, ("places", "box", "vents_to"): "living space"},
    ),
    Fault(
        "battery-not-ventilated",
        "house",
        ("places", "box"),
        {**FLOODED, ("places", "box", "vents_to"): REMOVE},
        "review",
    ),
    Fault(
        "battery-vent-too-small",
        "house",
        ("places", "box", "vent"),
        {("places", "box", "vent"): "10 cm²"},
        also=frozenset({"heat-without-vent"}),
    ),
    Fault(
        "battery-vent-too-small",
        "house",
        ("places", "box"),
        {("places", "box", "vent"): REMOVE},
        "review",
        also=frozenset({"heat-without-vent"}),
    ),
    Fault(
        "heat-without-vent",
        "box",
        ("places", "box", "vent"),
        {("places", "box", "vent"): "300 cm²"},
        "review",
    ),
    Fault(
        "heat-without-vent",
        "box",
        ("places", "box"),
        {("places", "box", "vent"): REMOVE},
        "review",
        also=frozenset({"battery-vent-too-small"}),
    ),
    Fault(
        "charger-far-from-battery",
        "hook-up",
        ("equipment", "hook-up"),
        {
            **piece("hook-up", "torque", "7 N·m"),
            **cable("hook-up-out", "length", "4 m"),
            ("cables", "hook-up-out", "area"): "25 mm²",
            ("cables", "hook-up-minus", "area"): "25 mm²",
            ("equipment", "board", "cable_per_position"): "25 mm²",
            ("equipment", "hook-up", "largest_cable"): "25 mm²",
            ("equipment", "minus", "largest_cable"): "25 mm²",
        },
        "review",
    ),
    Fault("access-not-stated", "box", ("places", "box"), {("places", "box", "access"): REMOVE}, "review"),
    # terminals
    Fault(
        "torque-not-stated",
        "isolator",
        ("equipment", "isolator"),
        piece("isolator", "torque", REMOVE),
        "review",
    ),
    Fault(
        "torque-implausible",
        "driving",
        ("equipment", "driving", "torque"),
        piece("driving", "torque", "70 N·m"),
    ),
    Fault(
        "torque-unusual",
        "driving",
        ("equipment", "driving", "torque"),
        piece("driving", "torque", "40 N·m"),
        "note",
    ),
    Fault(
        "cable-too-large-for-terminal",
        "earthing",
        ("cables", "earthing"),
        piece("earth", "largest_cable", "10 mm²"),
    ),
    Fault(
        "cable-may-not-fit",
        "earthing",
        ("cables", "earthing"),
        {
            ("cables", "earthing", "area"): "25 mm²",
            ("equipment", "earth", "stud"): "M5",
            ("equipment", "earth", "torque"): "3 N·m",
            ("equipment", "minus", "largest_cable"): "95 mm²",
        },
        "review",
    ),
    Fault(
        "cable-may-not-fit",
        "earth",
        ("equipment", "earth"),
        {("cables", "earthing", "area"): "25 mm²", ("equipment", "minus", "largest_cable"): "95 mm²"},
        "review",
    ),
    Fault(
        "thermal-insulation-not-stated",
        "cable_defaults",
        ("cable_defaults",),
        {("cable_defaults", "buried"): REMOVE},
        "review",
    ),
    # mains
    Fault("mains-not-recorded", "hook-up", ("equipment", "hook-up"), {("mains",): REMOVE}, "review"),
    Fault(
        "mains-record-incomplete",
        "hook_up",
        ("mains", "hook_up"),
        {("mains", "hook_up", "rcd"): REMOVE},
        "review",
    ),
    # alarms
    Fault("alarm-missing", "alarms", ("alarms",), {("alarms", 1): REMOVE}, "review"),
    Fault(
        "alarm-missing",
        "alarms",
        ("alarms",),
        {("places", "roof", "gas_locker"): True},
        "review",
    ),
    Fault(
        "alarm-record-incomplete",
        "alarms",
        ("alarms", 0),
        {("alarms", 0, "replace_by"): REMOVE, ("alarms", 0, "tested_with"): REMOVE},
        "review",
    ),
    Fault(
        "alarm-past-date",
        "alarms",
        ("alarms", 0, "replace_by"),
        {("alarms", 0, "replace_by"): "2026-02-28"},
        "review",
    ),
    Fault(
        "alarm-sounder-only",
        "alarms",
        ("alarms", 1, "tested_with"),
        {("alarms", 1, "tested_with"): "button"},
        "review",
    ),
    Fault(
        "alarm-badly-placed",
        "alarms",
        ("alarms", 0, "from_burner"),
        {("alarms", 0, "from_burner"): "0.4 m"},
        "review",
    ),
    Fault(
        "alarm-badly-placed", "alarms", ("alarms", 1, "height"), {("alarms", 1, "height"): "0.3 m"}, "review"
    ),
    # installation
    Fault(
        "installation-not-recorded",
        "installation",
        ("installation",),
        {("installation", "pull_test"): REMOVE},
        "review",
    ),
    Fault(
        "payload-exceeded",
        "installation",
        ("installation", "weight"),
        {("installation", "weight"): "640 kg"},
    ),
    Fault(
        "changeover-not-recorded",
        "mains",
        ("mains",),
        INVERTER | {("mains", "inverter_output"): CERTIFIED},
        "review",
        frozenset({"mains-by-licensed-practice"}),
    ),
    Fault(
        "terminal-not-covered",
        "main-fuse",
        ("equipment", "main-fuse"),
        piece("main-fuse", "covered", False),
    ),
    Fault(
        "terminal-not-covered",
        "main-fuse",
        ("equipment", "main-fuse"),
        piece("main-fuse", "covered", REMOVE),
        "review",
    ),
    Fault(
        "fuse-above-overload",
        "charge-bar",
        ("cables", "charge-bar"),
        piece("main-fuse", "opens_at", "190 %"),
    ),
    Fault(
        "fuse-may-overload",
        "charge-bar",
        ("cables", "charge-bar"),
        piece("main-fuse", "opens_at", REMOVE),
        "review",
    ),
    Fault(
        "parallel-cables-unlike",
        "feed-2",
        ("cables", "feed-2"),
        {("cables", ADD): wire("feed-2", "plus", "board.in", "1 m", "16 mm²")},
    ),
    # faults to the body
    Fault("bond-below-lead", "earthing", ("cables", "earthing"), cable("earthing", "area", "10 mm²")),
    Fault(
        "body-not-bonded",
        "house",
        ("equipment", "house"),
        {("cables", "earthing"): REMOVE},
        "review",
        frozenset({"not-connected", "not-fed"}),  # the driving charger's return is the chassis
    ),
    Fault(
        "body-fault-unseen",
        "driving-in-fuse",
        ("equipment", "driving-in-fuse"),
        {("cables", "charge-in", "length"): "60 m", ("cables", "charge-in", "area"): "6 mm²"},
        also=frozenset({"no-operating-point", "short-circuit-unseen"}),  # so long a cable
    ),
    Fault(
        "body-fault-unseen",
        "driving-in-fuse",
        ("equipment", "driving-in-fuse"),
        {
            ("cables", "charge-in", "length"): "60 m",
            ("cables", "charge-in", "area"): "6 mm²",
            ("equipment", "driving-in-fuse", "family"): "ANL",
            ("equipment", "driving-in-fuse", "rating"): "35 A",
        },
        "review",
        frozenset({"no-operating-point", "fuse-opens-too-late", "breaking-capacity-unproven"}),
    ),
    Fault(
        "return-burns-first",
        "earthing",
        ("cables", "earthing"),
        cable("earthing", "area", "1.5 mm²"),
        also=frozenset({"bond-below-lead", "return-below-chargers"}),
    ),
    Fault(
        "return-burns-first",
        "earthing",
        ("cables", "earthing"),
        {("cables", "earthing", "area"): "4 mm²", ("equipment", "main-fuse", "family"): "ANL"},
        "review",
        frozenset({"bond-below-lead", "breaking-capacity-unproven"}),
    ),
    # personal
    Fault(
        "personal-data",
        "isolator",
        ("equipment", "isolator", "notes"),
        piece("isolator", "notes", "Call the owner: 07700 900 123"),
        "review",
    ),
    Fault(
        "personal-data",
        "house",
        ("equipment", "house", "notes"),
        piece("house", "notes", "From the van wvwzzz1kz6w000001."),
        "review",
    ),
    Fault(
        "personal-data",
        "box",
        ("places", "box", "access"),
        {("places", "box", "access"): "Ask ann@owner.example for the key."},
        "review",
    ),
]
PAIRS = [
    pair
    for path in sorted((Path(__file__).parents[1] / "vans" / "pairs").glob("*.yml"))
    for pair in yaml.safe_load(path.read_text("utf-8"))
]
FOLLOWS = {"fuses-may-open-together"}  # a note that any other fuse may bring
IN_THE_SOUND_VAN = {"mains-by-licensed-practice", "not-measured"}
# test_limits.py, tests/chemistries
UNKNOWN_ELSEWHERE = {"breaking-capacity", "charge-current-above-limit", "relay-charges-lithium"}


@pytest.mark.parametrize("fault", FAULTS, ids=str)
def test_one_change_gives_exactly_its_finding(fault, sound, spoil):
    judged = spoil(fault.changes)
    before = {(f.rule, f.severity, f.subject) for f in sound.findings}
    new = {(f.rule, f.severity, f.subject) for f in judged.findings} - before
    new = {key for key in new if key[0] == fault.rule or key[0] not in FOLLOWS}
    assert {key for key in new if key[0] not in fault.also} == {(fault.rule, fault.severity, fault.subject)}
    assert {key[0] for key in new} - {fault.rule} == fault.also
    finding = next(f for f in judged.of(fault.rule) if f.subject == fault.subject)
    assert (finding.file, finding.line) == ("van.yml", judged.line(fault.at))


def test_the_faultless_van_has_only_notes_on_mains_and_measurements(sound):
    found = [(f.rule, f.severity) for f in sound.findings]
    assert sorted(found) == [("mains-by-licensed-practice", "note"), ("not-measured", "note")]


def test_every_rule_is_found_somewhere():
    """In the table above, in a pair of vans, or by name in a test of its own."""
    paired = {pair["rule"] for pair in PAIRS}
    missing = set(rules()) - {fault.rule for fault in FAULTS} - IN_THE_SOUND_VAN - paired
    tests = "".join(path.read_text("utf-8") for path in Path(__file__).parents[1].rglob("test_*.py"))
    assert not {slug for slug in missing if f'"{slug}"' not in tests}


def test_every_missing_value_is_found_somewhere():
    found = {fault.rule for fault in FAULTS if fault.severity == "review" and rules()[fault.rule].unknown}
    asked = (pair["rule"] for pair in PAIRS if pair["severity"] == "review")
    found |= {slug for slug in asked if rules()[slug].unknown}
    double = {"no-temperature-sensor", "heat-without-vent"}  # a review either way; both are in the table
    assert found | UNKNOWN_ELSEWHERE | double == {slug for slug, rule in rules().items() if rule.unknown}
