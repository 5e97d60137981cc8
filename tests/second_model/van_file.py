"""A van file read a second time, by code that shares nothing with the product but the file itself.

Only what a circuit needs is read: pieces with their terminals, cables, fuses, contacts and loads. Terminals
have the names of the file, such as ``house.+`` or ``board.3``.
"""

import re
from dataclasses import dataclass, field
from itertools import pairwise
from pathlib import Path
from typing import Any

import yaml

STANDARD_MM2 = (1.5, 2.5, 4, 6, 10, 16, 25, 35, 50, 70, 95)
"""IEC 60228, class 5, from memory."""


@dataclass
class Cable:
    """One cable: its two terminals, its length [m], its area [mm²] (None if the file leaves it open)."""

    start: str
    end: str
    length_m: float
    area_mm2: float | None

    @property
    def part(self) -> str:
        return f"{self.start}, {self.end}"


@dataclass
class Drawing:
    """What a van file draws.

    Attributes
    ----------
    nominal_v : float
    pieces : dict
        Equipment by id, part sheets merged in.
    loads : dict
    cables : list of Cable
    fuses : dict
        Id to (input terminal, output terminal, rating or None). [A]
    circuit : dict
        Load to what feeds it alone: the ids of its fuse and its cables' parts.
    """

    nominal_v: float
    pieces: dict[str, dict[str, Any]]
    loads: dict[str, dict[str, Any]]
    cables: list[Cable] = field(default_factory=list)
    fuses: dict[str, tuple[str, str, float | None]] = field(default_factory=dict)
    circuit: dict[str, set[str]] = field(default_factory=dict)

    def of(self, kind: str) -> dict[str, dict[str, Any]]:
        return {name: piece for name, piece in self.pieces.items() if piece.get("kind") == kind}

    @property
    def house(self) -> str:
        return next(name for name, piece in self.of("battery").items() if piece.get("role") != "starter")

    @property
    def starter(self) -> str:
        return next(name for name, piece in self.of("battery").items() if piece.get("role") == "starter")


def figure(value: Any, otherwise: float | None = None) -> float | None:
    """Return the number of a figure such as ``12.8 V`` or ``50 mV``, in its unit without prefix."""
    if value is None:
        return otherwise
    if isinstance(value, int | float):
        return float(value)
    found = re.match(r"\s*(-?[\d.]+)\s*(\S*)", str(value))
    assert found, value
    unit = found[2]
    scale = {"mV": 1e-3, "mA": 1e-3, "kA": 1e3, "kW": 1e3, "cm": 1e-2, "mm": 1e-3}.get(unit, 1.0)
    return float(found[1]) * (scale if unit != "mm²" else 1.0)


def read(path: Path) -> Drawing:
    """Read a van file and its part sheets."""
    text = yaml.safe_load(path.read_text("utf-8"))

    def whole(entry: dict[str, Any]) -> dict[str, Any]:
        sheet = yaml.safe_load((path.parent / entry["part"]).read_text("utf-8")) if "part" in entry else {}
        return {**sheet, **entry}

    drawing = Drawing(
        figure(text["van"]["nominal"]) or 12.0,
        {name: whole(entry) for name, entry in text["equipment"].items()},
        {name: whole(entry) for name, entry in text["loads"].items()},
    )
    for cable in text["cables"]:
        _cable(drawing, cable["from"], cable["to"], cable)
    for circuit in text["circuits"]:
        _circuit(drawing, circuit)
    for name, piece in drawing.of("fuse").items():
        drawing.fuses[name] = (f"{name}.in", f"{name}.out", figure(piece.get("rating")))
    _positions(drawing)
    return drawing


def _cable(drawing: Drawing, start: str, end: str, entry: dict[str, Any]) -> Cable:
    cable = Cable(start, end, figure(entry.get("length"), 0.05) or 0.05, figure(entry.get("area")))
    drawing.cables.append(cable)
    return cable


def _circuit(drawing: Drawing, circuit: dict[str, Any]) -> None:
    """Lay a circuit: the first pieces of cable to its switches and first load, the rest from load to load."""
    loads = circuit["load"] if isinstance(circuit["load"], list) else [circuit["load"]]
    legs = circuit["cable"] if isinstance(circuit["cable"], list) else [circuit["cable"]]
    fuse = f"{circuit['fuse']['board']}.{circuit['fuse']['position']}"
    rating = figure(circuit["fuse"].get("rating"))
    drawing.fuses[fuse] = (f"{circuit['fuse']['board']}.in", fuse, rating)
    back = circuit["return"] if isinstance(circuit["return"], dict) else {"to": circuit["return"]}
    whole = {"length": sum(figure(leg["length"]) or 0 for leg in legs[:1]), "area": legs[0].get("area")}
    own = {fuse}
    at, reached = fuse, 0
    for leg in legs:
        if "to" in leg:
            own.add(_cable(drawing, at, f"{leg['to']}.in", leg).part)
            at = f"{leg['to']}.out"
            own.add(leg["to"])
            continue
        own.add(_cable(drawing, at, f"{loads[reached]}.+", leg).part)
        at, reached = f"{loads[reached]}.+", reached + 1
    own.add(_cable(drawing, f"{loads[0]}.-", back["to"], {**whole, **back}).part)
    for number, (one, other) in enumerate(pairwise(loads), 1):
        joint = {
            "length": figure(legs[number]["length"]) if number < len(legs) else 0.05,
            "area": legs[0].get("area"),
        }
        if number >= reached:
            own.add(_cable(drawing, f"{one}.+", f"{other}.+", joint).part)
        ends = (f"{other}.-", f"{one}.-") if number < reached else (f"{one}.-", f"{other}.-")
        own.add(_cable(drawing, *ends, joint).part)
    for load in loads:
        drawing.circuit[load] = own


def _positions(drawing: Drawing) -> None:
    """The positions of fuse boxes that cables use."""
    for cable in list(drawing.cables):
        for terminal in (cable.start, cable.end):
            owner, _, position = terminal.partition(".")
            board = drawing.pieces.get(owner, {})
            if board.get("kind") == "fuse-board" and position.isdigit() and terminal not in drawing.fuses:
                stated = (board.get("fuses") or {}).get(position) or {}
                drawing.fuses[terminal] = (f"{owner}.in", terminal, figure(stated.get("rating")))
