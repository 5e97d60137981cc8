"""Small vans that differ in what can hurt people, as van files; `tests.chemistries` adds the last three's."""

from pathlib import Path
from typing import Any

import yaml

from tests.conftest import DEMO_VANS

Entry = dict[str, Any]

SMALL: dict[str, Entry] = {
    "bare-agm": {"leisure": ["AGM"], "has": ["alarm", "kept alarm"]},
    "lithium-alone": {"leisure": ["LiFePO4"], "has": ["isolator", "mains", "inverter", "solar"]},
    "gel-with-relay": {"leisure": ["gel"], "starter": "flooded", "volts": 24, "has": ["isolator", "relay"]},
    "flooded-48": {"leisure": ["flooded"], "volts": 48, "has": ["isolator", "inverter", "mains"]},
    "two-chemistries": {"leisure": ["LiFePO4", "AGM"], "has": ["isolator", "heater", "alarm", "solar"]},
    "lithium-starter": {"leisure": ["AGM"], "starter": "LiFePO4", "has": ["isolator"]},
    "other-lithium": {"leisure": ["NCA"], "starter": "AGM", "has": ["isolator"]},
    "sodium": {"leisure": ["Na-ion"], "has": ["isolator"]},
    "start-stop": {"leisure": ["EFB"], "has": ["isolator", "solar", "panel isolator"]},
    "carbon": {"leisure": ["lead-carbon"], "has": ["isolator"]},
    "manganese": {"leisure": ["NMC"], "has": ["isolator", "mains", "inlet", "gas locker"]},
    "titanate": {"leisure": ["LTO"], "starter": "AGM", "has": ["isolator"]},
    "sodium-of-ours": {"leisure": ["sodium-ion"], "has": ["isolator"]},
    "as-found": {"leisure": ["AGM"], "has": ["isolator", "unknown length"]},
    "nobody-knows": {"leisure": ["novel"], "has": ["isolator", "mains", "solar"]},
}


def van_files(folder: Path) -> dict[str, Path]:
    """Return the van files by name: the demonstration vans, and small ones written to a folder."""
    found = {path.parent.name: path for path in DEMO_VANS}
    for name, wanted in SMALL.items():
        path = folder / f"{name}.yml"
        path.write_text(yaml.safe_dump(small(**wanted), allow_unicode=True, sort_keys=False), "utf-8")
        found[name] = path
    return found


def small(leisure: list[str], starter: str = "", volts: int = 12, has: list[str] | None = None) -> Entry:
    """Return a van file with one circuit, one leisure battery of each chemistry, and what it `has`."""
    equipment: dict[str, Entry] = {}
    loads: dict[str, Entry] = {"lamp": {"name": "lamp", "place": "wall", "power": "5 W"}}
    cables: list[Entry] = []
    have = has or []

    def piece(ident: str, kind: str, **keys: Any) -> str:
        equipment[ident] = {"kind": kind, "name": ident, "place": "box", **keys}
        return ident

    def cable(start: str, end: str, area: int = 35) -> None:
        run = {"from": start, "to": end, "length": "0.5 m", "area": f"{area} mm²", "bunched": 1}
        cables.append({**run, "insulation": "105 °C"})

    def fuse(ident: str, rating: int) -> str:
        return piece(ident, "fuse", family="class-T", rating=f"{rating} A", voltage="125 V")

    def charger(ident: str, source: str) -> None:
        piece(ident, "charger", source=source, output="10 A")
        cable(f"{ident}.out", "plus")
        cable(f"{ident}.-", "minus")

    piece("plus", "busbar", rating="400 A")
    piece("minus", "busbar", rating="400 A")
    for number, chemistry in enumerate(leisure):
        house = piece(f"house-{number}", "battery", chemistry=chemistry, capacity="100 Ah")
        if volts > 12:
            equipment[house]["series"] = volts // 12
        fuse(f"main-fuse-{number}", 100)
        cable(f"{house}.+", f"main-fuse-{number}.in")
        cable(f"{house}.-", "minus")
        if "isolator" in have:
            piece(f"isolator-{number}", "isolator", rating="300 A")
            cable(f"main-fuse-{number}.out", f"isolator-{number}.in")
            cable(f"isolator-{number}.out", "plus")
        else:
            cable(f"main-fuse-{number}.out", "plus")
    cable("minus", piece("earth", "earth-point"))
    piece("board", "fuse-board", family="C", rows=2, columns=2)
    cable("plus", "board.in")
    if starter:
        piece("starter", "battery", role="starter", chemistry=starter, capacity="80 Ah", series=volts // 12)
        piece("alternator", "alternator", rating="100 A", regulation="fixed")
        cable("alternator.+", "starter.+")
        cable("starter.-", "chassis")
    if "relay" in have:
        piece("relay", "relay", purpose="split-charge", rating="140 A")
        fuse("front-fuse", 100)
        cable("starter.+", "front-fuse.in")
        cable("front-fuse.out", "relay.a")
        cable("relay.b", "plus")
    if "mains" in have:
        charger("hook-up", "mains")
    if "solar" in have:
        panel = {"power": "115 W", "voc": "22.4 V", "isc": "6.5 A", "vmp": "18.6 V"}
        piece("panels", "solar-array", **panel)
        charger("solar", "solar")
        if "panel isolator" in have:
            piece("panel-isolator", "isolator", rating="30 A")
            cable("panels.+", "panel-isolator.in", 4)
            cable("panel-isolator.out", "solar.pv+", 4)
        else:
            cable("panels.+", "solar.pv+", 4)
        cable("panels.-", "solar.pv-", 4)
    if "inverter" in have:
        piece("inverter", "inverter", power="500 W")
        fuse("inverter-fuse", 100)
        cable("plus", "inverter-fuse.in")
        cable("inverter-fuse.out", "inverter.+")
        cable("inverter.-", "minus")
    if "heater" in have:
        loads["heater"] = {"name": "heater", "place": "wall", "current": "2 A", "cools_down": True}
    if "alarm" in have:
        day = {"summer": "24 h", "winter": "24 h"}
        loads["alarm"] = {"name": "gas alarm", "place": "wall", "current": "0.1 A", "hours": day}
        if "kept alarm" in have:
            loads["alarm"]["kept_live"] = "it warns of gas"
    circuits = [
        {
            "id": f"{load}-circuit",
            "fuse": {"board": "board", "position": position, "rating": "5 A"},
            "cable": {"length": "2 m", "area": "2.5 mm²"},
            "load": load,
            "return": "minus",
        }
        for position, load in enumerate(loads, 1)
    ]
    more: Entry = {}
    places: Entry = {}
    if "gas locker" in have:
        places["locker"] = {
            "label": "at the back",
            "at": {"back": "5 m", "across": "1 m"},
            "gas_locker": True,
        }
    if "inlet" in have:
        more["mains"] = {"hook_up": {"where": "box"}}
    if "unknown length" in have:
        cables[0]["length"] = "unknown"
        more["documented"] = {"by": "A. Reed", "date": "2026-05-02"}
    size = {"length": "6 m", "width": "2 m", "driver": "left"}
    return {
        **more,
        "van": {"name": "Small", "nominal": f"{volts} V", "size": size, "invented": True},
        "workshop": {"name": "Invented workshop"},
        "places": {
            "box": {"label": "in the box", "at": {"back": "1 m", "across": "1 m"}, "access": "Lift it."},
            "wall": {"label": "on the wall", "at": {"back": "3 m", "across": "1 m"}},
            **places,
        },
        "equipment": equipment,
        "loads": loads,
        "cables": cables,
        "circuits": circuits,
    }
