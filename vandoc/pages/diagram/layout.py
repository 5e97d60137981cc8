"""Positions read from the SVG output of a layout program; Graphviz 2.43 and its port use the same form."""

import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from itertools import pairwise
from xml.etree import ElementTree as ET

from vandoc.ground.messages import Messages
from vandoc.pages.diagram.dot import NOTE_CELL, SYMBOL_CELL
from vandoc.pages.diagram.render import DiagramError

say = Messages("vandoc.pages.diagram", "faults").say

SVG = "{http://www.w3.org/2000/svg}"
HREF = "{http://www.w3.org/1999/xlink}href"
HINT = "{http://www.w3.org/1999/xlink}title"

_NUMBER = re.compile(r"-?\d+(?:\.\d+)?(?:e-?\d+)?")
Point = tuple[float, float]


@dataclass
class Box:
    """An upright rectangle. [pt]"""

    x0: float
    y0: float
    x1: float
    y1: float

    @property
    def x(self) -> float:
        """Centre of the rectangle."""
        return (self.x0 + self.x1) / 2

    @property
    def y(self) -> float:
        """Centre of the rectangle."""
        return (self.y0 + self.y1) / 2

    def moved(self, dy: float) -> "Box":
        """Return the same box further down."""
        return Box(self.x0, self.y0 + dy, self.x1, self.y1 + dy)


@dataclass
class Cell:
    """A cell of a label; its colour identifies its purpose."""

    colour: str
    box: Box
    lines: list[str] = field(default_factory=list)


@dataclass
class Node:
    """A part with its position; `kind` is the name of its symbol."""

    id: str
    kind: str
    classes: list[str]
    cells: list[Cell]
    href: str = ""
    hint: str = ""

    def cell(self, colour: str) -> Cell | None:
        """Return the cell of a kind."""
        return next((cell for cell in self.cells if cell.colour == colour), None)

    @property
    def box(self) -> Box:
        """Bounding box of the whole part."""
        boxes = [cell.box for cell in self.cells]
        return Box(
            *(min(b.x0 for b in boxes), min(b.y0 for b in boxes)),
            *(max(b.x1 for b in boxes), max(b.y1 for b in boxes)),
        )

    @property
    def symbol(self) -> Box:
        """Position of the symbol."""
        cell = self.cell(SYMBOL_CELL)
        assert cell is not None
        return cell.box

    def move(self, dy: float) -> None:
        """Move the part down."""
        for cell in self.cells:
            cell.box = cell.box.moved(dy)


@dataclass
class Link:
    """A wire with the path found by the layout program, and its label."""

    id: str
    classes: list[str]
    start: str
    end: str
    width: float
    guide: list[Point]
    label: Cell | None

    def guide_y(self, x: float) -> float:
        """Return the height of the program's path at an x; beyond an end, the height of that end."""
        points = sorted(self.guide)
        if x <= points[0][0]:
            return points[0][1]
        for (xa, ya), (xb, yb) in pairwise(points):
            if xa <= x <= xb:
                return ya if xb == xa else ya + (yb - ya) * (x - xa) / (xb - xa)
        return points[-1][1]


@dataclass
class Zone:
    """A tinted area with its caption."""

    id: str
    box: Box
    words: str

    def holds(self, node: Node) -> bool:
        """Whether a part is inside the zone."""
        inner, outer = node.box, self.box
        level = outer.x0 <= inner.x0 and inner.x1 <= outer.x1
        return level and outer.y0 <= inner.y0 and inner.y1 <= outer.y1


@dataclass
class Layout:
    """All positions read from the program's output. Lengths in pt, y downwards."""

    width: float
    height: float
    nodes: list[Node]
    links: list[Link]
    zones: list[Zone]
    foot: str


def read_layout(svg: str) -> Layout:
    """Read the positions from a layout program's SVG document.

    Raises
    ------
    DiagramError
        If the text is not such a document.
    """
    try:
        root = ET.fromstring(svg)
    except ET.ParseError as error:
        raise DiagramError(say("layout.the_layout_programs_answer_is", error=error)) from error
    graph = root.find(f"{SVG}g")
    if graph is None:
        raise DiagramError(say("layout.layout_programs_answer"))
    _, _, width, height = (float(value) for value in root.get("viewBox", "0 0 0 0").split())
    shift = re.search(r"translate\(([^)]*)\)", graph.get("transform", ""))
    dx, dy = (float(value) for value in (shift[1] if shift else "0 0").split())
    found = Layout(width, height, [], [], [], "")
    for child in graph:
        kind = child.get("class", "").split()
        if child.tag == f"{SVG}text":
            found.foot = _text(child)
        elif "node" in kind:
            found.nodes.append(_node(child, kind, dx, dy))
        elif "edge" in kind:
            found.links.append(_link(child, kind, dx, dy))
        elif "cluster" in kind:
            box = next(_box(shape, dx, dy) for shape in child.iter(f"{SVG}polygon"))
            words = " ".join(_text(text) for text in child.iter(f"{SVG}text"))
            found.zones.append(Zone(child.get("id", ""), box, words))
    return found


def _text(node: ET.Element) -> str:
    return (node.text or "").strip()


def _box(polygon: ET.Element, dx: float, dy: float) -> Box:
    numbers = [float(n) for n in _NUMBER.findall(polygon.get("points", ""))]
    xs, ys = [x + dx for x in numbers[::2]], [y + dy for y in numbers[1::2]]
    return Box(min(xs), min(ys), max(xs), max(ys))


def _cells(group: ET.Element, dx: float, dy: float) -> Iterator[Cell]:
    cells: list[Cell] = []
    for item in group.iter():
        if item.tag == f"{SVG}polygon":
            cells.append(Cell(item.get("fill", ""), _box(item, dx, dy)))
        elif item.tag == f"{SVG}text" and cells:
            cells[-1].lines.append(_text(item))
    yield from cells


def _node(group: ET.Element, kind: list[str], dx: float, dy: float) -> Node:
    link = next(group.iter(f"{SVG}a"), None)
    href, hint = ("", "") if link is None else (link.get(HREF, ""), link.get(HINT, ""))
    symbol = next(name.removeprefix("symbol-") for name in kind if name.startswith("symbol-"))
    return Node(group.get("id", ""), symbol, kind, list(_cells(group, dx, dy)), href, hint)


def _link(group: ET.Element, kind: list[str], dx: float, dy: float) -> Link:
    way = next(group.iter(f"{SVG}path"))
    numbers = [float(n) for n in _NUMBER.findall(way.get("d", ""))]
    knots = [(x + dx, y + dy) for x, y in zip(numbers[::2], numbers[1::2], strict=True)]
    ends = {
        name.partition("_")[0]: name.partition("_")[2] for name in kind if name.startswith(("from_", "to_"))
    }
    label = next((cell for cell in _cells(group, dx, dy) if cell.colour == NOTE_CELL), None)
    return Link(
        group.get("id", ""),
        kind,
        f"part-{ends['from']}",
        f"part-{ends['to']}",
        float(way.get("stroke-width", "1")),
        list(_curve(knots)),
        label,
    )


def _curve(knots: list[Point], steps: int = 10) -> Iterator[Point]:
    """Yield points along cubic curves given by their knots: 1 + 3n points."""
    yield knots[0]
    for n in range(0, len(knots) - 3, 3):
        p0, p1, p2, p3 = knots[n : n + 4]
        for step in range(1, steps + 1):
            t = step / steps
            a, b, c, d = (1 - t) ** 3, 3 * t * (1 - t) ** 2, 3 * t * t * (1 - t), t**3
            yield (
                a * p0[0] + b * p1[0] + c * p2[0] + d * p3[0],
                a * p0[1] + b * p1[1] + c * p2[1] + d * p3[1],
            )
