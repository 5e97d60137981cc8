"""Fewer parts on a sheet: nothing is cut off, what is drawn into a wire is told by it."""

import pytest

from vandoc.pages.diagram.overview import reduce_to
from vandoc.pages.diagram.schematic import CableRun, DrawnPart, ReturnStub, Schematic, Wire


def chain(*symbols: str) -> Schematic:
    parts = tuple(
        DrawnPart(f"p{n}", symbol, f"part {n}", ("40 A, C",), f"z{n % 2}") for n, symbol in enumerate(symbols)
    )
    wires = tuple(
        Wire(f"w{n}", f"p{n}", f"p{n + 1}", "+", (CableRun("6 mm²", 6.0, 1.0 + n),))
        for n in range(len(symbols) - 1)
    )
    return Schematic("s", "s", {"z0": "here", "z1": "there"}, parts, wires)


def test_a_short_sheet_stays_as_it_is() -> None:
    sheet = chain("battery", "fuse", "board")
    assert reduce_to(sheet, 3) is sheet


def test_a_fuse_becomes_a_note_on_its_wire() -> None:
    sheet = reduce_to(chain("battery", "fuse", "board"), 2)
    assert [part.id for part in sheet.parts] == ["p0", "p2"]
    (wire,) = sheet.wires
    assert (wire.start, wire.end, wire.size, wire.fuses) == ("p0", "p2", "6 mm² · 3 m", ("fuse 40 A",))


def test_a_fuse_with_three_wires_is_not_drawn_into_one() -> None:
    sheet = chain("battery", "fuse", "board", "load")
    third = Wire("x", "p1", "p3", "+")
    kept = reduce_to(Schematic("s", "s", sheet.zones, sheet.parts, (*sheet.wires, third)), 3)
    assert not any(wire.fuses for wire in kept.wires)


def test_a_fuse_with_a_return_is_not_drawn_into_a_wire() -> None:
    sheet = chain("battery", "fuse", "board", "load")
    earthed = DrawnPart("p1", "fuse", "x", zone="z1", ways=(ReturnStub("earth", "metal", ""),))
    parts = (sheet.parts[0], earthed, *sheet.parts[2:])
    kept = reduce_to(Schematic("s", "s", sheet.zones, parts, sheet.wires), 3)
    assert not any(wire.fuses for wire in kept.wires)


@pytest.mark.parametrize("limit", range(1, 30))
def test_any_limit_can_be_met_and_no_wire_hangs(limit: int) -> None:
    sheet = chain(*(["battery", "fuse", "load", "relay", "monitor", "board", "lamp"] * 4))
    reduced = reduce_to(sheet, limit)
    assert 1 <= len(reduced.parts) <= limit
    names = [part.id for part in reduced.parts]
    assert len(names) == len(set(names))
    assert all(wire.start in names and wire.end in names and wire.start != wire.end for wire in reduced.wires)


def test_a_place_that_is_summed_up_says_how_many_parts() -> None:
    sheet = reduce_to(chain("battery", "load", "load", "load", "load"), 3)
    (summed,) = (part for part in sheet.parts if part.symbol == "sheet")
    assert summed.name in ("here", "there")
    assert summed.facts[0].endswith("parts: see the sheet")


def test_a_limit_below_one_is_refused() -> None:
    with pytest.raises(ValueError, match="at least one part"):
        reduce_to(chain("load"), 0)
