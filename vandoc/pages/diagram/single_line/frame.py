"""What surrounds an overview: edge letters, the legend, the key plan, and the title block."""

from collections.abc import Sequence
from dataclasses import dataclass
from xml.etree.ElementTree import Element

from vandoc.pages.diagram.outline import Driver, van_outline
from vandoc.pages.diagram.single_line.drawing import Box, Drawing, Point
from vandoc.pages.diagram.single_line.placing import boxes_of, letters
from vandoc.pages.diagram.single_line.reading import Wiring
from vandoc.pages.diagram.spacing import apart
from vandoc.pages.diagram.svg import HAIRLINE, INK, element, path, text_block, text_width, wrap
from vandoc.pages.diagram.symbols import in_box
from vandoc.pages.diagram.words import say

SHAPE = 400 / 277  # of the printed area of an A3 sheet with margins of 10 mm (ISO 216, ISO 5457)
EDGE = 34.0  # [px] from the border to what is drawn
LINE = 14.4
SIZE = 12.0
GAP = 12.0
ROWS = "ABCDEFGH"
COLUMNS = 8
VAN = 84.0  # width of the key plan


@dataclass(frozen=True)
class Frame:
    """The surroundings of a sheet, for the finish; corners are those of the three blocks. [px]"""

    width: float
    height: float
    marks: tuple["Mark", ...]
    columns: int
    length_m: float
    width_m: float
    driver: Driver
    legend: Point
    key: Point
    block: Point


@dataclass(frozen=True)
class Mark:
    """A place in the key plan: its letter, its name, and its position in shares of the van."""

    letter: str
    label: str
    back: float
    across: float


@dataclass(frozen=True)
class Titles:
    """The fields of the title block (ISO 7200), as text."""

    workshop: str
    van: str
    document: str
    revision: str
    date: str
    drawn_from: str
    number: int
    count: int

    def value(self, key: str) -> str:
        """Return the text of a field."""
        if key == "sheet":
            return say("title.of", number=self.number, count=self.count)
        return str(getattr(self, key, ""))


_TITLES = (
    ("workshop", "van", "document"),
    ("revision", "date", "drawn_from"),
    ("checked", "checked_on", "sheet"),
)
_CELL = (176.0, 42.0)  # of the title block
_BLOCK = (3 * _CELL[0], 3 * _CELL[1])


def framed(drawing: Drawing, wiring: Wiring) -> tuple[Frame, Drawing]:
    """Return the frame of a drawing and the drawing moved into it; the sheet has the shape of A3.

    The legend, the key plan and the title block stand as high as what is drawn above them allows.
    """
    van, code = wiring.system.van, letters(wiring)
    marks = tuple(
        Mark(
            code[ident],
            place.label,
            min(max(place.at.back_m / van.size.length_m, 0.0), 1.0),
            place.at.across_m / van.size.width_m,
        )
        for ident, place in wiring.system.places.items()
    )
    length = _van_length(van.size.length_m, van.size.width_m)
    legend, keys = _legend_size(), {count: _key_size(marks, length, count) for count in (1, 2, 3)}
    box = drawing.box
    moved = drawing.moved(EDGE - box.x0, EDGE - box.y0)
    boxes = list(boxes_of(moved))
    width = box.x1 - box.x0 + 2 * EDGE
    columns, (width, height, spots) = min(
        (
            (count, _fit(boxes, width, way, legend, key))
            for count, key in keys.items()
            for way in ("beside", "above", "left")
        ),
        key=lambda found: round(found[1][1]),
    )
    size = van.size
    return Frame(width, height, marks, columns, size.length_m, size.width_m, size.driver, *spots), moved


def _fit(
    boxes: list[Box], width: float, way: str, legend: Point, key: Point
) -> tuple[float, float, tuple[Point, Point, Point]]:
    """Return the size of the sheet and the corners of the three blocks, from the bottom right upward."""
    beside = [legend, key, _BLOCK] if way == "beside" else [legend, _BLOCK]
    width = max(width, sum(one[0] + GAP for one in beside) + 2 * EDGE)
    right = width - EDGE
    if way == "beside":
        columns = [(EDGE, [legend]), (EDGE + legend[0] + GAP, [key]), (right - _BLOCK[0], [_BLOCK])]
    elif way == "above":
        columns = [(EDGE, [legend]), (right - max(_BLOCK[0], key[0]), [key, _BLOCK])]
    else:
        columns = [(EDGE, [key]), (right - max(_BLOCK[0], legend[0]), [legend, _BLOCK])]
    height = 0.0
    for x, stack in columns:
        wide, tall = max(one[0] for one in stack), sum(one[1] + GAP for one in stack)
        lowest = max((box.y1 for box in boxes if box.x0 < x + wide + GAP and box.x1 > x - GAP), default=EDGE)
        height = max(height, lowest + tall + EDGE)
    height = max(height, max((box.y1 for box in boxes), default=0.0) + EDGE)
    shift = max(height * SHAPE - width, 0.0)
    width, height = width + shift, max(height, (width + shift) / SHAPE)
    corners: dict[int, Point] = {}
    for number, (x, stack) in enumerate(columns):
        y = height - EDGE
        for size in reversed(stack):
            y -= size[1]
            corners[id(size)] = (x + (shift if number == len(columns) - 1 else 0.0), y)
            y -= GAP
    return width, height, (corners[id(legend)], corners[id(key)], corners[id(_BLOCK)])


def drawn(frame: Frame, titles: Titles) -> list[Element]:
    """Return the frame as elements."""
    return [*_edges(frame), *_legend(*frame.legend), *_key(frame), *_block(titles, *frame.block)]


def _edges(frame: Frame) -> list[Element]:
    x1, y1 = frame.width - EDGE / 2, frame.height - EDGE / 2
    box = element(
        "rect",
        x=EDGE / 2,
        y=EDGE / 2,
        width=x1 - EDGE / 2,
        height=y1 - EDGE / 2,
        stroke=HAIRLINE,
        stroke_width=1,
    )
    made = [box]
    wide, tall = (frame.width - EDGE) / COLUMNS, (frame.height - EDGE) / len(ROWS)
    for n in range(COLUMNS):
        x = EDGE / 2 + wide * n
        made.append(_small(str(n + 1), x + wide / 2, EDGE / 2 + 12))
        if n:
            made.append(path("M", x, EDGE / 2, "v", 6, "M", x, y1, "v", -6, stroke=HAIRLINE))
    for n, letter in enumerate(ROWS):
        y = EDGE / 2 + tall * n
        made.append(_small(letter, EDGE / 2 + 8, y + tall / 2 + 4))
        if n:
            made.append(path("M", EDGE / 2, y, "h", 6, "M", x1, y, "h", -6, stroke=HAIRLINE))
    return made


def _small(text: str, x: float, y: float) -> Element:
    return text_block(x, y, [text], SIZE, "middle", class_="muted edge")


_LEGEND = ("plus", "minus", "signal", "joint", "bar", "frame", "proposed", "cable", "sources", "mains")
_SAMPLE = 52.0


def _legend_size() -> Point:
    widest = max(text_width(say(f"legend.{key}"), SIZE) for key in _LEGEND)
    return _SAMPLE + widest, LINE * len(_LEGEND)


def _legend(x: float, y: float) -> list[Element]:
    middle = x + 20
    line: dict[str, str | float] = {"stroke": INK, "stroke_width": 1.2}
    samples = {
        "plus": path("M", x, 0, "h", 40, stroke=INK, stroke_width=4.2, class_="line positive"),
        "minus": path("M", x, 0, "h", 40, **line, stroke_dasharray="5 4", class_="line negative"),
        "signal": path("M", x, 0, "h", 40, **line, stroke_dasharray="1.5 3.5", class_="line signal"),
        "joint": in_box("joint", middle - 3.5, -3.5, 7, 7),
        "bar": in_box("end-bar", middle - 7, -4, 14, 8),
        "frame": in_box("end-frame", middle - 9, -8, 18, 12),
        "proposed": text_block(middle, 5, ["*"], SIZE, "middle", class_="label"),
    }
    made = []
    for n, key in enumerate(_LEGEND):
        level = y + n * LINE + 11
        if key in samples:
            made.append(element("g", samples[key], transform=f"translate(0 {level - 4:.1f})"))
        made.append(text_block(x + _SAMPLE, level, [say(f"legend.{key}")], SIZE, class_="muted legend"))
    return made


def _key_columns(marks: Sequence[Mark], count: int) -> list[Sequence[Mark]]:
    rows = max(-(-len(marks) // count), 1)
    return [marks[n : n + rows] for n in range(0, len(marks), rows)]


def _key_room(marks: Sequence[Mark]) -> float:
    return min(max((text_width(mark.label, SIZE) for mark in marks), default=0.0) + 40, 300.0)


def _van_length(length_m: float, width_m: float) -> float:
    return min(VAN * 2.3, max(VAN * length_m / width_m, VAN * 1.6))


def _key_size(marks: Sequence[Mark], van: float, count: int) -> Point:
    columns = _key_columns(marks, count)
    tallest = max((len(column) for column in columns), default=0) * LINE
    return VAN + 20 + len(columns) * _key_room(marks), max(tallest, van)


def _key(frame: Frame) -> list[Element]:
    """Return the van from above with its places, and their letters and names beside it."""
    x, y = frame.key
    tall = _van_length(frame.length_m, frame.width_m)
    made = [van_outline(x, y, VAN, tall, frame.driver)]
    spots = [
        (
            x + min(max(mark.across if frame.driver == "left" else 1 - mark.across, 0.0), 1.0) * VAN,
            y + mark.back * tall,
        )
        for mark in frame.marks
    ]
    for mark, spot, level in zip(frame.marks, spots, apart(spots, LINE), strict=True):
        made.append(
            text_block(spot[0], level + 4, [mark.letter.lstrip("+")], SIZE, "middle", class_="label place")
        )
    room = _key_room(frame.marks)
    for number, column in enumerate(_key_columns(frame.marks, frame.columns)):
        for n, mark in enumerate(column):
            at, level = x + VAN + 20 + number * room, y + n * LINE + 11
            made.append(text_block(at, level, [mark.letter], SIZE, font_weight="bold", class_="label place"))
            for line in wrap(mark.label, SIZE, room - 36, 1):
                made.append(text_block(at + 28, level, [line], SIZE, class_="muted place"))
    return made


def _block(titles: Titles, x: float, y: float) -> list[Element]:
    """Return the title block; fields for a pen are empty."""
    wide, tall = _CELL
    made = [element("rect", x=x, y=y, width=_BLOCK[0], height=_BLOCK[1], stroke=INK, stroke_width=1)]
    for n, row in enumerate(_TITLES):
        for m, key in enumerate(row):
            left, top = x + m * wide, y + n * tall
            if n:
                made.append(path("M", left, top, "h", wide, stroke=INK, stroke_width=0.8))
            if m:
                made.append(path("M", left, top, "v", tall, stroke=INK, stroke_width=0.8))
            made.append(text_block(left + 8, top + 15, [say(f"title.{key}")], SIZE, class_="muted title"))
            for line in wrap(titles.value(key), 13, wide - 14, 1, bold=True):
                style = {"font_weight": "bold", "class_": "label title"}
                made.append(text_block(left + 8, top + 33, [line], 13, **style))
    return made
