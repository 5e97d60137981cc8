"""One sheet of the single-line diagram as plain objects, and its text version."""

from dataclasses import dataclass, replace
from typing import Literal

from vandoc.ground.figures import plain, stated
from vandoc.ground.unknown import UNKNOWN, cannot_tell
from vandoc.pages.diagram.svg import clean
from vandoc.pages.diagram.words import say

Sign = Literal["+", "-", "signal"]

SIZE_THEN_LENGTH = " · "
_SIGN_WORDS: dict[Sign, str] = {"+": "plus", "-": "minus", "signal": "signal"}


@dataclass(frozen=True)
class ReturnStub:
    """The return of a part drawn as a short stub: to a busbar or to the chassis."""

    kind: Literal["bar", "earth"]
    to: str
    size: str


@dataclass(frozen=True)
class DrawnPart:
    """An item in the drawing. `tall` is the number of wires for which a busbar or board needs room."""

    id: str
    symbol: str
    name: str
    facts: tuple[str, ...] = ()
    zone: str | None = None
    href: str | None = None
    ways: tuple[ReturnStub, ...] = ()
    tall: int = 0
    here: bool = True


@dataclass(frozen=True)
class CableRun:
    """A length of one size: the size as text, its cross-section, 0 if unknown [mm²], and its length [m]."""

    size: str
    area_mm2: float
    length_m: float


def _sized(size: str, length: str) -> str:
    """Return size and length as text; the word for what is unknown once if both are."""
    return size if size == length else f"{size}{SIZE_THEN_LENGTH}{length}"


@dataclass(frozen=True)
class Wire:
    """A cable, or several in series, drawn from left to right.

    Parameters
    ----------
    runs : tuple of CableRun
        The cable lengths; empty for a direct connection.
    fuses : tuple of str
        Fuses in the cable that are not drawn as parts, as text.
    under : bool
        Whether it enters its right end from below, at the negative of that part.
    """

    id: str
    start: str
    end: str
    sign: Sign
    runs: tuple[CableRun, ...] = ()
    fuses: tuple[str, ...] = ()
    under: bool = False

    @property
    def sizes(self) -> list[str]:
        """Size and length as text; runs of one size are added up."""
        lengths: dict[str, float] = {}
        for run in self.runs:
            known = lengths[run.size] + run.length_m if run.size in lengths else run.length_m
            lengths[run.size] = UNKNOWN if cannot_tell(known) else known
        return [_sized(size, plain(stated(length, "m"))) for size, length in lengths.items()]

    @property
    def size(self) -> str:
        """Size and length on one line."""
        return " + ".join(self.sizes)

    @property
    def area_mm2(self) -> float:
        """The largest cross-section of its runs. [mm²]"""
        return max((run.area_mm2 for run in self.runs), default=0.0)


@dataclass(frozen=True)
class Schematic:
    """A sheet: zones by id with the name of the location, parts and wires in drawing order, a footnote.

    `pitch` is the height of a busbar for each wire, `text_width` the width of the text at a part. [pt]
    `stacked` puts a cable's length below its size, which makes a sheet of many columns narrower.
    """

    ident: str
    title: str
    zones: dict[str, str]
    parts: tuple[DrawnPart, ...]
    wires: tuple[Wire, ...]
    foot: str = ""
    pitch: float = 34.0
    text_width: float = 104.0
    stacked: bool = True


def schematic_text(sheet: Schematic) -> list[str]:
    """Return a sentence for each part and for each cable of a sheet."""
    names = {part.id: clean(part.name) for part in sheet.parts}
    lines = []
    for part in sheet.parts:
        place = sheet.zones.get(part.zone or "", "")
        told = [clean(fact) for fact in (*part.facts, place) if fact]
        lines.append(
            say("sheet.part", name=names[part.id], facts=", ".join(told)) if told else names[part.id]
        )
    for wire in sheet.wires:
        facts = ", ".join(clean(fact) for fact in (wire.size, *wire.fuses) if fact) or say("sheet.direct")
        key = f"sheet.wire_{_SIGN_WORDS[wire.sign]}"
        lines.append(say(key, start=names[wire.start], end=names[wire.end], facts=facts))
    for part in sheet.parts:
        for way in part.ways:
            facts = way.size or say("sheet.direct")
            lines.append(say("sheet.wire_minus", start=names[part.id], end=clean(way.to), facts=facts))
    return [*lines, sheet.foot] if sheet.foot else lines


def acyclic(sheet: Schematic) -> Schematic:
    """Return the sheet with wires reversed where they would close a loop, so that all lead to the right.

    A wire that enters a part from below keeps its direction.
    """
    ahead: dict[str, set[str]] = {part.id: set() for part in sheet.parts}
    wires = []
    for wire in sorted(sheet.wires, key=lambda wire: not wire.under):
        if _leads_to(ahead, wire.end, wire.start):
            wire = replace(wire, start=wire.end, end=wire.start)
        ahead[wire.start].add(wire.end)
        wires.append(wire)
    order = {wire.id: n for n, wire in enumerate(sheet.wires)}
    return replace(sheet, wires=tuple(sorted(wires, key=lambda wire: order[wire.id])))


def _leads_to(ahead: dict[str, set[str]], start: str, goal: str) -> bool:
    seen, todo = {start}, [start]
    while todo:
        node = todo.pop()
        if node == goal:
            return True
        todo += ahead[node] - seen
        seen |= ahead[node]
    return False


def with_bars(sheet: Schematic) -> Schematic:
    """Return the sheet with each busbar and board tall enough for the wires on its fuller side."""
    parts = []
    for part in sheet.parts:
        if part.symbol in ("busbar", "board"):
            before = sum(wire.end == part.id for wire in sheet.wires)
            after = sum(wire.start == part.id for wire in sheet.wires)
            part = replace(part, tall=max(before, after, 1))
        parts.append(part)
    return replace(sheet, parts=tuple(parts))
