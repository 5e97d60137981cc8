"""The single-line diagram: what stands on its sheets, in DOT, in words, and drawn by both layout programs."""

import re
from pathlib import Path

import pytest

from vandoc.analysis import Van
from vandoc.model.equipment import FuseBoard
from vandoc.model.system import System
from vandoc.pages.diagram.dot import line_width, safe_href
from vandoc.pages.diagram.finish import place_symbols
from vandoc.pages.diagram.render import render
from vandoc.pages.diagram.schematic import CableRun, DrawnPart, Schematic, Wire
from vandoc.pages.diagram.single_line import OVERVIEW_PARTS, schematics, sheets

GOLDEN = Path(__file__).parent / "golden"


def href_for(ident: str) -> str:
    return f"parts/{ident}.html"


def made(plain):
    return sheets(Van(System.model_validate(plain)), href_for)


@pytest.mark.parametrize("name", ["overview", "place-bench", "place-engine", "board-board"])
def test_dot_text_is_as_it_was_looked_at(small_van, name: str) -> None:
    """The golden files are our own DOT text, kept after looking at the drawing; they tell of a change."""
    by_name = {sheet.ident: sheet.dot for sheet in made(small_van)}
    assert by_name[name] == (GOLDEN / f"{name}.dot").read_text(encoding="utf-8")


def test_overview_then_places_then_boards(small_van) -> None:
    names = [sheet.ident for sheet in made(small_van)]
    assert names == ["overview", "place-bench", "place-engine", "board-board"]


def test_energy_runs_from_the_alternator_to_the_board(small_van) -> None:
    overview = schematics(Van(System.model_validate(small_van)), href_for)[0]
    supply = {(wire.start, wire.end) for wire in overview.wires if wire.sign == "+"}
    assert supply == {
        ("alternator", "starter"),
        ("starter", "relay"),
        ("relay", "house"),
        ("house", "main-fuse"),
        ("main-fuse", "board"),
    }
    (back,) = (wire for wire in overview.wires if wire.sign == "-")
    assert (back.start, back.end, back.under) == ("bolt", "house", True)
    ways = {part.id: [way.kind for way in part.ways] for part in overview.parts if part.ways}
    assert ways == {"starter": ["earth"]}


def test_the_words_tell_from_to_size_length_and_fuse(small_van) -> None:
    lines = {sheet.ident: sheet.text_lines for sheet in made(small_van)}
    assert "+ from charging relay to leisure battery: 16 mm² · 4 m" in lines["overview"]
    assert "− from starter battery to chassis: 25 mm² · 0.4 m" in lines["overview"]
    assert "main fuse: 80 A, SF30, under the bench" in lines["overview"]
    assert "fuse 1, 10 A" in lines["board-board"]
    assert "+ from fuse 1, 10 A to water pump: 2.5 mm² · 3 m" in lines["board-board"]
    assert "− from water pump to earth bolt: 2.5 mm² · 3 m" in lines["board-board"]


def test_proposed_sizes_are_marked_and_explained(small_van) -> None:
    board = made(small_van)[-1]
    assert any(
        re.fullmatch(r"\+ from fuse 3, \S+ A\* to ceiling light: \S+ mm²\* · 2 m", x)
        for x in board.text_lines
    )
    assert board.text_lines[-1].startswith("*")
    stated = made(small_van)[2]
    assert not any("*" in line for line in stated.text_lines)


def test_each_part_links_to_its_page(read, small_van, engine) -> None:
    sheet = made(small_van)[0]
    drawing = read(place_symbols(render([sheet.dot], engine)[0], "s", sheet.title))
    links = {link.attrib["href"] for part in drawing.all("part") for link in part}
    assert links == {
        href_for(part) for part in ("alternator", "starter", "relay", "house", "main-fuse", "board", "bolt")
    }


def test_demo_vans_have_short_overviews(demo_systems) -> None:
    for system in demo_systems.values():
        overview = schematics(Van(system), href_for)[0]
        assert 3 <= len(overview.parts) <= OVERVIEW_PARTS


def test_every_item_and_every_circuit_is_on_a_sheet(demo_systems) -> None:
    for system in demo_systems.values():
        drawn = schematics(Van(system), href_for)
        parts = {part.id for sheet in drawn for part in sheet.parts}
        assert set(system.equipment) <= parts
        names = " ".join(part.name for sheet in drawn for part in sheet.parts)
        assert all(load.name in names for load in system.loads.values())
        for board, piece in system.equipment.items():
            if isinstance(piece, FuseBoard):
                (sheet,) = (one for one in drawn if one.ident == f"board-{board}")
                fuses = {part.id for part in sheet.parts if part.symbol == "fuse" and part.here}
                wanted = {
                    f"{c.fuse.board}.{c.fuse.position}" for c in system.circuits if c.fuse.board == board
                }
                assert wanted <= fuses


def test_the_description_names_every_cable(demo_systems) -> None:
    for system in demo_systems.values():
        van = Van(system)
        told = [line for sheet in sheets(van, href_for) for line in sheet.text_lines]
        for conductor in van.network.conductors.values():
            size = conductor.size or f"{van.sizing.conductors[conductor.id].area_mm2:g} mm²*"
            length = f"{conductor.length_m:.2f}".rstrip("0").rstrip(".")
            assert any(f"{size} · {length} m" in line for line in told), conductor.id


def test_words_and_drawing_hold_the_same_parts(read, demo_systems, engine) -> None:
    for system in demo_systems.values():
        drawn = schematics(Van(system), href_for)
        made = sheets(Van(system), href_for)
        for plain, sheet, svg in zip(drawn, made, render([s.dot for s in made], engine), strict=True):
            drawing = read(place_symbols(svg, sheet.ident, sheet.title))
            groups = {part.attrib["id"]: part for part in drawing.all("part")}
            assert len(groups) == len(plain.parts)
            assert len(drawing.all("wire")) == len(plain.wires)
            for part in plain.parts:
                group = next(
                    g for ident, g in groups.items() if ident.endswith(f"part-{part.id.replace('.', '_2e_')}")
                )
                assert part.name.split()[0] in drawing.words(group)
                assert any(line.startswith(part.name) for line in sheet.text_lines)


def test_positive_and_return_differ_without_colour(read, small_van, engine) -> None:
    sheet = made(small_van)[0]
    drawing = read(place_symbols(render([sheet.dot], engine)[0], "s", sheet.title))
    for line in drawing.all("line", "positive"):
        assert "stroke-dasharray" not in line.attrib
    for line in drawing.all("line", "negative"):
        assert line.attrib["stroke-dasharray"]
        assert float(line.attrib["stroke-width"]) < 1.5
    marks = [drawing.words(wire)[0] for wire in drawing.all("wire")]
    assert sorted(marks) == ["+"] * 5 + ["−"]


def test_a_larger_section_is_a_thicker_line() -> None:
    widths = [
        line_width(Wire("w", "a", "b", "+", (CableRun("", area, 1.0),))) for area in (1, 2.5, 6, 16, 35, 95)
    ]
    assert widths == sorted(widths)
    assert len(set(widths)) == len(widths)
    assert line_width(Wire("w", "a", "b", "-", (CableRun("", 95, 1.0),))) < min(widths)


def test_hostile_names_are_text_everywhere(read, small_van, hostile: str, engine) -> None:
    for section in ("equipment", "loads"):
        for piece in small_van[section].values():
            piece["name"] = hostile.replace("\n", " ").replace("\r", " ").replace("\t", " ").strip()[:80]
    for place in small_van["places"].values():
        place["label"] = hostile.replace("\n", " ").replace("\r", " ").replace("\t", " ").strip()[:80]
    drawn = made(small_van)
    plain = schematics(Van(System.model_validate(small_van)), href_for)
    for one, sheet, svg in zip(plain, drawn, render([sheet.dot for sheet in drawn], engine), strict=True):
        drawing = read(place_symbols(svg, hostile, sheet.title, "; ".join(sheet.text_lines)))
        assert len(drawing.all("part")) == len(one.parts)
        assert len(drawing.all("wire")) == len(one.wires)
        assert len(drawing.all("zone")) == len({part.zone for part in one.parts if part.zone in one.zones})


def test_entities_in_a_name_are_shown_as_written(read, small_van, engine) -> None:
    small_van["equipment"]["house"]["name"] = "&lt;i&gt; & co"
    small_van["places"]["bench"]["label"] = "&amp; \\N"
    sheet = made(small_van)[0]
    drawing = read(place_symbols(render([sheet.dot], engine)[0], "s", sheet.title))
    assert "&lt;i&gt; & co" in drawing.words()
    assert "&amp; \\N" in drawing.words()
    hints = [title.text for title in drawing.root.iter("{http://www.w3.org/2000/svg}title")]
    assert "&lt;i&gt; & co, AGM, 12 V, 100 Ah" in hints


@pytest.mark.parametrize(
    ("href", "safe"),
    [
        ("parts/a.html#x", "parts/a.html#x"),
        ("../a b/", "../a%20b/"),
        ("https://example.org/?a=1&b=2", "https://example.org/?a=1%26b=2"),
        ("javascript:alert(1)", "#"),
        (" javascript:alert(1)", "#"),
        ("data:text/html,x", "#"),
        ('"><script>', "%22%3E%3Cscript%3E"),
    ],
)
def test_links_are_quoted_and_only_lead_to_pages(href: str, safe: str) -> None:
    assert safe_href(href) == safe


def test_two_runs_give_the_same_bytes(demo_systems, engine) -> None:
    system = demo_systems["curlew"]
    first, second = (sheets(Van(system), href_for) for _ in range(2))
    assert first == second
    drawn = [
        [place_symbols(svg, "s", "t") for svg in render([sheet.dot for sheet in run], engine)]
        for run in (first, second)
    ]
    assert drawn[0] == drawn[1]


def test_a_ring_of_cables_is_drawn(read, engine) -> None:
    from vandoc.pages.diagram.dot import dot_text
    from vandoc.pages.diagram.schematic import acyclic

    parts = tuple(DrawnPart(name, "switch", name) for name in "abcd")
    wires = tuple(Wire(f"{a}{b}", a, b, "+") for a, b in ("ab", "bc", "cd", "da", "ca"))
    ring = acyclic(Schematic("ring", "ring", {}, parts, wires))
    rank = {"a": 0, "b": 1, "c": 2, "d": 3}
    assert all(rank[wire.start] < rank[wire.end] for wire in ring.wires)
    drawing = read(place_symbols(render([dot_text(ring)], engine)[0], "s", "ring"))
    assert len(drawing.all("wire")) == 5
