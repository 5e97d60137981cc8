"""Symbols stand in the places that the layout program kept for them; wires run level, upright and clear."""

import random
import re
from itertools import combinations, pairwise, product

import pytest

from vandoc.analysis import Van
from vandoc.pages.diagram.align import align
from vandoc.pages.diagram.dot import STUB_CELL, SYMBOL_CELL, dot_text
from vandoc.pages.diagram.finish import place_symbols
from vandoc.pages.diagram.layout import Box, read_layout
from vandoc.pages.diagram.render import render
from vandoc.pages.diagram.schematic import (
    CableRun,
    DrawnPart,
    ReturnStub,
    Schematic,
    Wire,
    acyclic,
    with_bars,
)
from vandoc.pages.diagram.single_line import sheets
from vandoc.pages.diagram.symbols import SYMBOLS
from vandoc.pages.diagram.wires import route


def touch(a: Box, b: Box, by: float = 0.5) -> bool:
    return a.x0 + by < b.x1 and b.x0 + by < a.x1 and a.y0 + by < b.y1 and b.y0 + by < a.y1


def random_sheet(seed: int) -> Schematic:
    source = random.Random(seed)
    kinds = [kind for kind in SYMBOLS if kind not in ("sheet",)] + ["busbar"]
    zones = {f"z{n}": f"place {n}" for n in range(source.randint(0, 4))}
    parts = tuple(
        DrawnPart(
            f"p{n}",
            source.choice(kinds),
            f"part number {n}",
            ("12 V",) * source.randint(0, 2),
            source.choice([*zones, None]),
            ways=(ReturnStub("bar", "bar", "6 mm²"),) * source.randint(0, 1),
        )
        for n in range(source.randint(2, 14))
    )
    wires = []
    for n in range(source.randint(1, 20)):
        a, b = source.sample(range(len(parts)), 2)
        sign = source.choice(["+", "+", "-", "signal"])
        wires.append(
            Wire(f"w{n}", f"p{a}", f"p{b}", sign, (CableRun("6 mm²", source.choice([1, 6, 70]), 1.5),))
        )
    return with_bars(acyclic(Schematic("s", "s", zones, parts, tuple(wires))))


def check(svg: str, read) -> None:
    """Check one drawing, by what was laid out and by what was drawn."""
    layout = read_layout(svg)
    align(layout)
    corners = route(layout)
    nodes = {node.id: node for node in layout.nodes}
    for one, other in combinations(layout.nodes, 2):
        assert not touch(one.box, other.box), (one.id, other.id)
    for one, other in combinations(layout.zones, 2):
        assert not touch(one.box, other.box), (one.id, other.id)
    labels = [link.label.box for link in layout.links if link.label]
    for box in labels:
        assert not any(touch(box, node.box) for node in layout.nodes)
    for one, other in combinations(labels, 2):
        assert not touch(one, other, 1.5)
    for link in layout.links:
        path = corners[link.id]
        for (xa, ya), (xb, yb) in pairwise(path):
            assert xa == pytest.approx(xb) or ya == pytest.approx(yb), link.id
            run = Box(min(xa, xb), min(ya, yb), max(xa, xb), max(ya, yb))
            for node in layout.nodes:
                if node.id not in (link.start, link.end):
                    assert not touch(run, node.box, -0.1), (link.id, node.id)
        for (x, y), end in ((path[0], 0), (path[-1], 1)):
            near = [nodes[name] for name in (link.start, link.end)]
            boxes = [node.symbol for node in near]
            assert any(b.x0 - 0.1 <= x <= b.x1 + 0.1 and b.y0 - 0.1 <= y <= b.y1 + 4 for b in boxes), (
                link.id,
                end,
            )
    check_clear_of_each_other(layout, corners)
    drawing = read(place_symbols(svg, "s", "t"))
    width, height = (float(drawing.root.attrib[name]) for name in ("width", "height"))
    for node in layout.nodes:
        assert node.box.x0 >= 0
        assert node.box.x1 <= width
        assert node.box.y0 >= 0
        assert node.box.y1 <= height


def check_clear_of_each_other(layout, corners) -> None:
    """Check that no wire runs through the words of another, or along another that leads elsewhere."""
    runs = {
        link.id: [
            Box(min(a, c), min(b, d), max(a, c), max(b, d)) for (a, b), (c, d) in pairwise(corners[link.id])
        ]
        for link in layout.links
    }
    for link in layout.links:
        for other in layout.links:
            if link is other:
                continue
            if other.label:
                assert not any(touch(run, other.label.box, 0.2) for run in runs[link.id]), (link.id, other.id)
            if {link.start, link.end} & {other.start, other.end}:
                continue
            for one, two in product(runs[link.id], runs[other.id]):
                level = one.y0 == one.y1 and two.y0 == two.y1 and abs(one.y0 - two.y0) < 1
                upright = one.x0 == one.x1 and two.x0 == two.x1 and abs(one.x0 - two.x0) < 1
                along = min(one.x1, two.x1) - max(one.x0, two.x0) if level else 0
                along = min(one.y1, two.y1) - max(one.y0, two.y0) if upright else along
                assert along < 2, (link.id, other.id)


def test_wires_of_the_demo_vans_do_not_touch(read, demo_systems, engine) -> None:
    for system in demo_systems.values():
        made = sheets(Van(system), lambda ident: f"{ident}.html")
        for svg in render([sheet.dot for sheet in made], engine):
            check(svg, read)


def test_wires_of_random_sheets_do_not_touch(read, engine) -> None:
    for svg in render([dot_text(random_sheet(seed)) for seed in range(60)], engine):
        check(svg, read)


def test_symbols_are_in_their_cells(read, demo_systems, engine) -> None:
    for system in demo_systems.values():
        made = sheets(Van(system), lambda ident: f"{ident}.html")
        for svg in render([sheet.dot for sheet in made], engine):
            before = {node.id: node for node in read_layout(svg).nodes}
            layout = read_layout(svg)
            align(layout)
            route(layout)
            drawing = read(place_symbols(svg, "s", "t"))
            for node in layout.nodes:
                (group,) = (part for part in drawing.all("part") if part.attrib["id"] == f"s-{node.id}")
                cell = node.cell(SYMBOL_CELL).box
                assert cell.x == pytest.approx(before[node.id].cell(SYMBOL_CELL).box.x)
                symbol = next(item for item in group.iter() if "symbol" in item.get("class", "").split())
                if node.kind == "busbar":
                    (shape,) = symbol
                    x = float(shape.attrib["x"]) + float(shape.attrib["width"]) / 2
                    assert float(shape.attrib["height"]) == pytest.approx(cell.y1 - cell.y0, abs=0.02)
                else:
                    x, y = (float(n) for n in re.findall(r"[\d.]+", symbol.attrib["transform"]))
                    x += 24
                    if node.kind != "board":
                        assert y + 24 == pytest.approx(cell.y, abs=0.02)
                assert x == pytest.approx(cell.x, abs=0.02)
                stub = node.cell(STUB_CELL)
                assert bool(stub) == any("return" in i.get("class", "").split() for i in group.iter())


def test_the_alternating_sign_is_on_the_mains_side_only() -> None:
    """IEC 60617: a converter's symbol shows the kind of current on either side (from memory)."""
    shapes = {
        kind: [item.get("d", "") for item in SYMBOLS[kind].draw()] for kind in ("dc-dc", "ac-dc", "inverter")
    }
    waves = {kind: [n for n, d in enumerate(shape) if " q " in d] for kind, shape in shapes.items()}
    assert waves == {"dc-dc": [], "ac-dc": [2], "inverter": [3]}
