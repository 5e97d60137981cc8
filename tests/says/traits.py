"""What a van has, read from its file by the test's own small reader: nothing of vandoc is asked."""

from pathlib import Path
from typing import Any

import yaml

LEAD = ("flooded", "EFB", "AGM", "gel", "lead-carbon")
LITHIUM = ("LiFePO4", "NMC", "LTO", "NCA")
SODIUM = ("sodium-ion", "Na-ion")
SEALED = ("AGM", "gel", "lead-carbon", *LITHIUM, *SODIUM)


def traits(van_file: Path) -> frozenset[str]:
    """Return the traits of a van that the table speaks of."""
    stated = yaml.safe_load(van_file.read_text("utf-8"))
    pieces = [_with_part(entry, van_file.parent) for entry in (stated.get("equipment") or {}).values()]
    loads = [_with_part(entry, van_file.parent) for entry in (stated.get("loads") or {}).values()]
    batteries = [piece for piece in pieces if piece["kind"] == "battery"]
    leisure = [battery for battery in batteries if battery.get("role", "leisure") == "leisure"]
    starters = [battery for battery in batteries if battery.get("role") == "starter"]
    sources = {piece.get("source") for piece in pieces if piece["kind"] == "charger"}
    relays = [piece for piece in pieces if piece["kind"] == "relay" and piece["purpose"] == "split-charge"]
    kinds = {piece["kind"] for piece in pieces}
    families = {_family(battery) for battery in leisure}
    starting = {_family(battery) for battery in starters}
    burns = {"lithium", "sodium", "unknown"}
    held = {
        "leisure lead": bool(families & {"lead", "unknown"}),
        "leisure lithium": bool(families & {"lithium", "unknown"}),
        "flooded": any(battery["chemistry"] not in SEALED for battery in leisure),
        "known flooded": any(battery["chemistry"] in ("flooded", "EFB") for battery in leisure),
        "gel": any(battery["chemistry"] == "gel" for battery in leisure),
        "known lead": "lead" in families,
        "known lithium": "lithium" in families,
        "sodium": "sodium" in families,
        "lithium": bool((families | starting) & {"lithium", "unknown"}),
        "iron phosphate": any(battery["chemistry"] == "LiFePO4" for battery in batteries),
        "leisure iron phosphate": any(battery["chemistry"] == "LiFePO4" for battery in leisure),
        "titanate": any(battery["chemistry"] == "LTO" for battery in leisure),
        "lithium starter": bool(starting & {"lithium", "unknown"}),
        "runaway": bool((families | starting) & burns),
        "leisure runaway": bool(families & burns),
        "sealed lead": any(battery["chemistry"] in ("AGM", "gel", "lead-carbon") for battery in leisure),
        "lead": any(_family(battery) in ("lead", "unknown") for battery in batteries),
        "unknown chemistry": "unknown" in families,
        "starter battery": bool(starters),
        "mains": "mains" in sources or bool((stated.get("mains") or {}).get("hook_up")),
        "mains charger": "mains" in sources,
        "inverter": "inverter" in kinds,
        "solar": "solar-array" in kinds,
        "driving": "alternator" in sources or bool(relays),
        "relay": bool(relays),
        "isolator": "isolator" in kinds,
        "cools down": any(load.get("cools_down") for load in loads),
        "alarm": any("alarm" in f"{load.get('name')}" for load in loads),
        "arcs": str(stated["van"].get("nominal", "")).split(" ")[0] in ("24", "48"),
        "gas locker": any(place.get("gas_locker") for place in (stated.get("places") or {}).values()),
        "kept live": any(load.get("kept_live") for load in loads),
        "inlet": bool(((stated.get("mains") or {}).get("hook_up") or {}).get("where")),
        "panel isolator": "panel-isolator" in (stated.get("equipment") or {}),
        "as found": "documented" in stated,
        "48 V": str(stated["van"].get("nominal", "")).split(" ")[0] == "48",
    }
    return frozenset(name for name, there in held.items() if there)


def _with_part(entry: dict[str, Any], folder: Path) -> dict[str, Any]:
    """Return an entry over its part sheet; the entry's own keys win."""
    sheet = yaml.safe_load((folder / entry["part"]).read_text("utf-8")) if "part" in entry else {}
    return {**sheet, **entry}


def _family(battery: dict[str, Any]) -> str:
    chemistry = battery["chemistry"]
    for family, members in (("lead", LEAD), ("lithium", LITHIUM), ("sodium", SODIUM)):
        if chemistry in members:
            return family
    return "unknown"


def holds(when: list[str], held: frozenset[str]) -> bool:
    """Return whether a van has each of the traits, and none of those with `no` before them."""
    return all((name[3:] not in held) if name.startswith("no ") else name in held for name in when)
