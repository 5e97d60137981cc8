"""Reduction of a sheet to fewer parts: some become notes on wires, others are combined."""

from collections import Counter
from dataclasses import replace

from vandoc.pages.diagram.schematic import DrawnPart, Schematic, Wire
from vandoc.pages.diagram.words import say

# Symbols in the order of removal. Parts that are left out are on the sheet of their location.
_LEFT_OUT = ("monitor",)
_INLINE = (("fuse",), ("switch",), ("shunt",), ("isolator",), ("relay",))


def reduce_to(sheet: Schematic, limit: int) -> Schematic:
    """Return the sheet with at most `limit` parts, with no more removed than necessary.

    Monitors are removed first; then fuses, switches, shunts and isolators with one wire on either side become
    a note on the wire; finally each location becomes a single part.

    Raises
    ------
    ValueError
        If `limit` is below 1.
    """
    if limit < 1:
        raise ValueError(f"a sheet has at least one part, got a limit of {limit}")
    if len(sheet.parts) > limit:
        sheet = _without(sheet, [part for part in sheet.parts if part.symbol in _LEFT_OUT])
    for symbols in _INLINE:
        if len(sheet.parts) > limit:
            sheet = _drawn_into_wires(sheet, symbols)
    while len(sheet.parts) > limit:
        sheet = _sum_up(sheet, limit)
    return sheet


def _without(sheet: Schematic, gone: list[DrawnPart]) -> Schematic:
    ids = {part.id for part in gone}
    wires = tuple(wire for wire in sheet.wires if wire.start not in ids and wire.end not in ids)
    wired = {end for wire in wires for end in (wire.start, wire.end)}
    before = {end for wire in sheet.wires for end in (wire.start, wire.end)}
    parts = (
        part for part in sheet.parts if part.id not in ids and (part.id in wired or part.id not in before)
    )
    return replace(sheet, parts=tuple(parts), wires=wires)


def _drawn_into_wires(sheet: Schematic, symbols: tuple[str, ...]) -> Schematic:
    parts, wires = list(sheet.parts), list(sheet.wires)
    for part in sheet.parts:
        if part.symbol not in symbols or part.ways:
            continue
        before = [wire for wire in wires if wire.end == part.id]
        after = [wire for wire in wires if wire.start == part.id]
        if len(before) != 1 or len(after) != 1 or before[0].sign != after[0].sign:
            continue
        joined = _joined(before[0], part, after[0])
        if joined.start == joined.end:
            continue
        wires[wires.index(before[0])] = joined
        wires.remove(after[0])
        parts.remove(part)
    return replace(sheet, parts=tuple(parts), wires=tuple(wires))


def _joined(before: Wire, part: DrawnPart, after: Wire) -> Wire:
    rating = part.facts[0].partition(",")[0] if part.facts else ""
    note = say("sheet.fuse", rating=rating) if part.symbol == "fuse" else part.name
    return replace(
        before,
        id=f"{before.id}, {after.id}",
        end=after.end,
        runs=before.runs + after.runs,
        fuses=(*before.fuses, note, *after.fuses),
        under=after.under,
    )


def _sum_up(sheet: Schematic, limit: int) -> Schematic:
    """Combine a location into one part: the smallest that removes enough, otherwise the largest."""
    counts = Counter(part.zone for part in sheet.parts if part.zone and part.symbol != "sheet")
    several = {zone: count for zone, count in counts.items() if count > 1}
    if not several:
        return _merged(sheet, list(sheet.parts[limit - 1 :]), None)
    surplus = len(sheet.parts) - limit
    enough = sorted((count, zone) for zone, count in several.items() if count > surplus)
    zone = enough[0][1] if enough else max(several, key=lambda zone: (several[zone], zone))
    return _merged(sheet, [part for part in sheet.parts if part.zone == zone], zone)


def _merged(sheet: Schematic, gone: list[DrawnPart], zone: str | None) -> Schematic:
    ids = {part.id for part in gone}
    one = DrawnPart(
        f"{zone or 'other'} parts",
        "sheet",
        sheet.zones[zone] if zone else say("sheet.other"),
        (say("sheet.parts", count=len(gone)),),
        zone,
    )
    wires = []
    for wire in sheet.wires:
        start = one.id if wire.start in ids else wire.start
        end = one.id if wire.end in ids else wire.end
        if start != end:
            wires.append(replace(wire, start=start, end=end, under=wire.under and end != one.id))
    parts = [part for part in sheet.parts if part.id not in ids]
    at = next(n for n, part in enumerate(sheet.parts) if part.id in ids)
    parts.insert(min(at, len(parts)), one)
    return replace(sheet, parts=tuple(parts), wires=tuple(wires))
