"""The single-line diagram: what stands on its sheets, in words, and drawn by both layout programs."""

import re
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import combinations, pairwise
from xml.etree import ElementTree as ET

import pytest

from tests.vans.generated import generated
from vandoc.analysis import Van
from vandoc.model.system import System
from vandoc.pages.diagram.render import render
from vandoc.pages.diagram.single_line import phone_sheet, sheets
from vandoc.pages.diagram.single_line.dot import safe_href
from vandoc.pages.diagram.single_line.finish import finished
from vandoc.pages.diagram.single_line.frame import Titles, drawn
from vandoc.pages.diagram.single_line.pen import line_width
from vandoc.pages.diagram.single_line.stations import Cable
from vandoc.paper.metrics import MM_PER_PT, width_mm

SVG = "{http://www.w3.org/2000/svg}"
TITLES = Titles("Workshop", "Van, 12 V", "Single-line diagram", "4-ab12cd", "1 May 2025", "van.yml", 1, 9)
CAPITALS = 0.668  # of the font's size: sCapHeight of Atkinson Hyperlegible's OS/2 table
A3_MM = (400, 277)  # ISO 216, with margins of 10 mm


def href_for(ident: str) -> str:
    return f"parts/{ident}.html"


def made(plain):
    return sheets(Van(System.model_validate(plain)), href_for)


def drawings(van: Van, engine=None) -> list[str]:
    found = sheets(van, href_for)
    answers = render([sheet.dot for sheet in found], engine)
    return [
        finished(svg, sheet.ident, sheet.title, "", drawn(sheet.frame, TITLES) if sheet.frame else ())
        for sheet, svg in zip(found, answers, strict=True)
    ]


@dataclass(frozen=True)
class Rect:
    x0: float
    y0: float
    x1: float
    y1: float
    said: str

    def meets(self, other: "Rect", by: float = 0.5) -> bool:
        across = min(self.x1, other.x1) - max(self.x0, other.x0)
        return across > by and min(self.y1, other.y1) - max(self.y0, other.y0) > by


def placed(item: ET.Element, dx: float, dy: float) -> Iterator[tuple[ET.Element, float, float]]:
    """Each text with how far its groups move it; that of a small symbol is left out."""
    move = re.match(r"translate\(([-\d.]+)[ ,]([-\d.]+)\)(.*)", item.get("transform", ""))
    if move:
        if "scale" in move[3]:
            return
        dx, dy = dx + float(move[1]), dy + float(move[2])
    if item.tag == f"{SVG}text":
        yield item, dx, dy
    for child in item:
        yield from placed(child, dx, dy)


def texts(root: ET.Element) -> list[Rect]:
    """The place of each text, from the widths of the printed font."""
    found = []
    for item, dx, dy in placed(root, 0.0, 0.0):
        said = "".join(item.itertext())
        size, x, y = (float(item.get(key, "0")) for key in ("font-size", "x", "y"))
        x, y = x + dx, y + dy
        width = width_mm(said, size, item.get("font-weight") == "bold") / MM_PER_PT
        left = {"start": x, "middle": x - width / 2, "end": x - width}[item.get("text-anchor", "start")]
        found.append(Rect(left, y - 0.7 * size, left + width, y + 0.2 * size, said))
    return [text for text in found if text.said.strip()]


def runs(root: ET.Element) -> list[Rect]:
    """Each straight run of each conductor."""
    found = []
    for item in root.iter(f"{SVG}path"):
        if "line" in item.get("class", "").split():
            numbers = [float(n) for n in re.findall(r"-?\d+(?:\.\d+)?", item.get("d", ""))]
            if "h" in item.get("d", ""):
                continue  # a sample in the legend
            half = float(item.get("stroke-width", "1")) / 2
            for (xa, ya), (xb, yb) in pairwise(zip(numbers[::2], numbers[1::2], strict=True)):
                x0, x1, y0, y1 = min(xa, xb), max(xa, xb), min(ya, yb), max(ya, yb)
                assert x0 == pytest.approx(x1, abs=0.1) or y0 == pytest.approx(y1, abs=0.1), "no slanted line"
                found.append(Rect(x0 - half, y0 - half, x1 + half, y1 + half, item.get("id", "")))
    return found


def crossings(svg: str) -> list[tuple[str, str]]:
    root = ET.fromstring(svg)
    words, lines = texts(root), runs(root)
    found = [(a.said, b.said) for a, b in combinations(words, 2) if a.meets(b)]
    return found + [(text.said, line.said) for text in words for line in lines if text.meets(line)]


VANS = [
    *(pytest.param(name, id=name) for name in ("curlew", "heron", "wren")),
    *(pytest.param(seed, id=f"generated{seed}") for seed in range(12)),
]


@pytest.fixture(scope="module")
def vans(demo_systems) -> dict[str | int, Van]:
    """The demo vans, and the first of the generated ones; a benchmark draws fifty of these."""
    return {name: Van(system) for name, system in demo_systems.items()} | {
        seed: Van(generated(seed)) for seed in range(12)
    }


@pytest.mark.parametrize("which", VANS)
def test_no_text_meets_another_text_or_a_line(vans, which) -> None:
    """By the advance widths of the font itself, which the layout does not use."""
    for svg in drawings(vans[which]):
        assert not crossings(svg)


@pytest.mark.parametrize("which", VANS)
def test_every_fuse_and_every_conductor_has_exactly_one_symbol(vans, which) -> None:
    van = vans[which]
    shown: Counter[str] = Counter()
    for sheet in sheets(van, href_for):
        for symbol in sheet.drawing.symbols:
            shown.update([symbol.fuse] if symbol.fuse and not symbol.again else [])
        for line in sheet.drawing.lines:
            shown.update(() if line.again else line.edges)
    own = {
        ident
        for ident, one in van.network.conductors.items()
        if one.start.split(".")[0] != one.end.split(".")[0]
    }
    assert set(shown) == own | set(van.network.fuses)
    assert set(shown.values()) == {1}


@pytest.mark.parametrize("which", VANS)
def test_the_overview_can_be_read_on_a3(vans, which) -> None:
    """Capitals of 1.8 mm on a sheet of A3: the series of ISO 3098-1 begins there (from memory)."""
    for sheet in sheets(vans[which], href_for):
        if sheet.frame is not None:
            scale = min(A3_MM[0] / sheet.frame.width, A3_MM[1] / sheet.frame.height)
            assert 12.0 * CAPITALS * scale >= 1.8
            assert sheet.frame.width / sheet.frame.height == pytest.approx(A3_MM[0] / A3_MM[1], rel=0.01)


def test_overview_then_boards_then_places(small_van) -> None:
    names = [sheet.ident for sheet in made(small_van)]
    assert names == ["overview", "board-board", "place-bench", "place-engine"]


def test_energy_runs_from_the_sources_on_the_left_to_the_board(small_van) -> None:
    overview = made(small_van)[0].drawing
    middle = {symbol.id: (symbol.box.x0 + symbol.box.x1) / 2 for symbol in overview.symbols}
    order = [
        middle[f"part-{ident}"] for ident in ("alternator", "starter", "relay", "house", "main-fuse", "board")
    ]
    assert order == sorted(order)


def test_the_words_tell_from_to_size_length_and_fuse(small_van) -> None:
    lines = {sheet.ident: sheet.text_lines for sheet in made(small_van)}
    assert any(
        "charging relay" in x and "leisure battery" in x and "16 mm² · 4 m" in x for x in lines["overview"]
    )
    assert "− from starter battery to chassis: 25 mm² · 0.4 m" in lines["overview"]
    assert "main fuse: 80 A, SF30, under the bench" in lines["overview"]
    assert "fuse 1: 10 A, under the bench" in lines["board-board"]
    assert "+ from fuse 1 to water pump: 2.5 mm² · 3 m" in lines["board-board"]
    assert "− from water pump to earth bolt: 2.5 mm² · 3 m" in lines["board-board"]


def test_proposed_sizes_are_marked_and_explained(small_van) -> None:
    board = made(small_van)[1]
    assert any(re.fullmatch(r"\+ from fuse 3 to ceiling light: \S+ mm²\* · 2 m", x) for x in board.text_lines)
    assert board.text_lines[-1].startswith("*")
    stated = made(small_van)[-1]
    assert not any("*" in line for line in stated.text_lines)


def test_each_part_links_to_its_page(read, small_van, engine) -> None:
    drawing = read(drawings(Van(System.model_validate(small_van)), engine)[0])
    links = {link.attrib["href"] for part in drawing.all("part") for link in part if "href" in link.attrib}
    equipment = ("alternator", "starter", "relay", "house", "main-fuse", "board", "bolt")
    loads = (load for circuit in small_van["circuits"] for load in [circuit["load"]])
    assert links == {
        href_for(part)
        for part in (*equipment, *(x for one in loads for x in ([one] if isinstance(one, str) else one)))
    }


def test_every_item_and_every_circuit_is_on_a_sheet(demo_systems) -> None:
    for system in demo_systems.values():
        van = Van(system)
        found = sheets(van, href_for)
        drawn_ids = {symbol.id for sheet in found for symbol in sheet.drawing.symbols}
        assert {f"part-{ident}" for ident in system.equipment} <= drawn_ids
        said = " ".join(words.text for sheet in found for words in sheet.drawing.words)
        assert all(load.name in said for load in system.loads.values())
        boards = {sheet.ident: sheet for sheet in found}
        for circuit in system.circuits:
            symbols = {symbol.id for symbol in boards[f"board-{circuit.fuse.board}"].drawing.symbols}
            assert f"part-{circuit.fuse.board}.{circuit.fuse.position}" in symbols


def test_the_description_names_every_cable(demo_systems) -> None:
    for system in demo_systems.values():
        van = Van(system)
        told = [line for sheet in sheets(van, href_for) for line in sheet.text_lines]
        for conductor in van.network.conductors.values():
            size = conductor.size or f"{van.sizing.conductors[conductor.id].area_mm2:g} mm²*"
            length = f"{conductor.length_m:.2f}".rstrip("0").rstrip(".")
            assert any(f"{size} · {length} m" in line for line in told), conductor.id


def test_positive_and_return_differ_without_colour(read, small_van, engine) -> None:
    drawing = read(drawings(Van(System.model_validate(small_van)), engine)[0])
    assert drawing.all("line", "positive")
    for line in drawing.all("line", "positive"):
        assert "stroke-dasharray" not in line.attrib
    for line in drawing.all("line", "negative"):
        assert line.attrib["stroke-dasharray"]
        assert float(line.attrib["stroke-width"]) < 1.5


def test_a_larger_section_is_a_thicker_line() -> None:
    widths = [line_width(Cable(area_mm2=area)) for area in (1, 2.5, 6, 16, 35, 95)]
    assert widths == sorted(widths)
    assert len(set(widths)) == len(widths)
    assert line_width(Cable(area_mm2=95, sign="-")) < min(widths)


def test_the_vehicle_body_has_the_symbol_of_a_frame_not_of_earth(read, small_van) -> None:
    """Earth has three level strokes, the frame three slanted ones (IEC 60617; from memory)."""
    drawing = read(drawings(Van(System.model_validate(small_van)))[0])
    (bolt,) = drawing.all("symbol", "earth")
    strokes = " ".join(item.get("d", "") for item in bolt.iter())
    assert len(re.findall(r"l -\d+ \d+", strokes)) == 3


def test_hostile_names_are_text_everywhere(read, small_van, hostile: str, engine) -> None:
    plain = [len(read(svg).all("part")) for svg in drawings(Van(System.model_validate(small_van)), engine)]
    text = hostile.replace("\n", " ").replace("\r", " ").replace("\t", " ").strip()[:80]
    for section in ("equipment", "loads"):
        for piece in small_van[section].values():
            piece["name"] = text
    for place in small_van["places"].values():
        place["label"] = text
    van = Van(System.model_validate(small_van))
    assert [len(read(svg).all("part")) for svg in drawings(van, engine)] == plain
    sheet = phone_sheet(van, href_for)
    assert read(finished(render([sheet.dot], engine)[0], hostile, text, text)).all("part")


def test_entities_in_a_name_are_shown_as_written(read, small_van, engine) -> None:
    small_van["equipment"]["house"]["name"] = "&lt;i&gt; & co"
    small_van["places"]["bench"]["label"] = "&amp; \\N"
    drawing = read(drawings(Van(System.model_validate(small_van)), engine)[0])
    assert "&lt;i&gt; & co" in drawing.words()
    assert "&amp; \\N" in drawing.words()
    hints = [title.text for title in drawing.root.iter(f"{SVG}title")]
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


def test_two_runs_and_two_programs_give_the_same_drawing(demo_systems) -> None:
    from vandoc.pages.diagram.render import engines

    van = Van(demo_systems["curlew"])
    first, *others, again = ["\n".join(drawings(van, engine)) for engine in (*engines(), engines()[0])]
    assert first == again
    number = re.compile(r"-?\d+(?:\.\d+)?")
    for other in others:
        assert number.sub("0", other) == number.sub("0", first)
        pairs = zip(number.findall(first), number.findall(other), strict=True)
        assert all(abs(float(a) - float(b)) <= 0.5 for a, b in pairs)  # the port rounds to half a pixel


def test_the_sheet_of_a_place_repeats_the_overview_and_that_of_a_board_does_not(demo_systems) -> None:
    for system in demo_systems.values():
        repeats = {sheet.ident: sheet.repeats for sheet in sheets(Van(system), href_for)}
        with_circuits = {f"board-{circuit.fuse.board}" for circuit in system.circuits}
        assert not repeats["overview"]
        assert not any(repeats[ident] for ident in with_circuits)
        assert all(told for ident, told in repeats.items() if ident.startswith("place-"))
