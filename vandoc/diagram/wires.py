"""Wires in horizontal and vertical runs, through the gaps that the layout program left between the columns.

The program places parts in columns. A wire runs level through each column, past its parts and labels, and changes
height only in the gaps between two columns, where each upright run has a track of its own.
"""

from collections.abc import Iterator
from dataclasses import dataclass, field

from vandoc.diagram.dot import MINUS_CELL
from vandoc.diagram.layout import Box, Layout, Link, Node, Point
from vandoc.diagram.symbols import SYMBOLS

CLEAR = 6.0  # [pt] between a wire and what it passes
REACH = 60.0  # [pt] that a part may be moved to make a wire straight
SPACING = 11.0  # [pt] between wires at a bar


@dataclass
class _Column:
    x0: float
    x1: float
    boxes: dict[str, Box] = field(default_factory=dict)
    levels: dict[str, float] = field(default_factory=dict)  # by wire

    def is_clear(self, owner: str, top: float, bottom: float) -> bool:
        """Whether nothing but what belongs to `owner` lies between two heights."""
        if any(bottom > box.y0 and top < box.y1 for name, box in self.boxes.items() if name != owner):
            return False
        return not any(top < y < bottom for name, y in self.levels.items() if name != owner)


@dataclass
class _Run:
    """One wire on its way: the columns of its ends, and its height in each column from the one to the other."""

    link: Link
    left: Node
    right: Node
    first: int
    last: int
    y: dict[int, float] = field(default_factory=dict)

    @property
    def under(self) -> bool:
        return "under" in self.link.classes


def route(layout: Layout) -> dict[str, list[Point]]:
    """Return the corners of each wire by its id; parts and labels of the layout move to straighten the wires."""
    nodes = {node.id: node for node in layout.nodes}
    _straighten(layout, nodes)
    columns = _columns(layout)
    where = {name: n for n, column in enumerate(columns) for name in column.boxes}
    runs = []
    for link in layout.links:
        a, b = link.start, link.end
        if where[a] > where[b]:
            a, b = b, a
        runs.append(_Run(link, nodes[a], nodes[b], where[a], where[b]))
    runs.sort(key=lambda run: (abs(_rise(run)), run.last - run.first, run.link.id))
    for run in runs:
        _level(run, columns, where)
    _spread_at_bars(runs, nodes)
    tracks = _tracks(runs, columns)
    return {run.link.id: list(_corners(run, columns, tracks)) for run in runs}


def _is_bar(node: Node) -> bool:
    return "symbol-busbar" in node.classes


def _port_y(node: Node, under: bool, towards: float) -> float:
    """Return the height at which a wire meets a part; a bar takes it at the height where it comes from."""
    if under:
        cell = node.cell(MINUS_CELL)
        assert cell is not None
        return cell.box.y + 2
    if _is_bar(node):
        return min(max(towards, node.symbol.y0 + 6), node.symbol.y1 - 6)
    return node.symbol.y


def _ends(run: _Run) -> tuple[float, float]:
    left = _port_y(run.left, False, run.right.symbol.y)
    right = _port_y(run.right, run.under and run.right.id == run.link.end, left)
    if _is_bar(run.left):
        left = _port_y(run.left, False, right)
    return left, right


def _rise(run: _Run) -> float:
    left, right = _ends(run)
    return right - left


def _columns(layout: Layout) -> list[_Column]:
    """Group parts and labels that stand above each other."""
    boxes = [(node.box, node.id) for node in layout.nodes]
    boxes += [(link.label.box, f"label {link.id}") for link in layout.links if link.label]
    columns: list[_Column] = []
    for box, name in sorted(boxes, key=lambda item: (item[0].x0, item[1])):
        if not columns or box.x0 > columns[-1].x1 - 1:
            columns.append(_Column(box.x0, box.x1))
        columns[-1].x1 = max(columns[-1].x1, box.x1)
        columns[-1].boxes[name] = box
    return columns


def _straighten(layout: Layout, nodes: dict[str, Node]) -> None:
    """Move parts up or down so that wires between neighbours are level, the thickest wires first."""
    settled: set[str] = set()
    for link in sorted(layout.links, key=lambda link: (-link.width, link.id)):
        a, b = nodes[link.start], nodes[link.end]
        if "under" in link.classes or _is_bar(a) or _is_bar(b):
            continue
        for fixed, free in ((a, b), (b, a)):
            dy = fixed.symbol.y - free.symbol.y
            if free.id not in settled and abs(dy) <= REACH and _may_move(free, dy, layout):
                free.move(dy)
                settled |= {a.id, b.id}
                break


def _may_move(node: Node, dy: float, layout: Layout) -> bool:
    goal = node.box.moved(dy)
    zone = next((z.box for z in layout.zones if _inside(node.box, z.box)), None)
    if zone is not None and not (zone.y0 + 18 <= goal.y0 and goal.y1 <= zone.y1 - 4):
        return False
    if zone is None and not (goal.y0 >= 0 and goal.y1 <= layout.height - 24):
        return False
    others = [other.box for other in layout.nodes if other is not node]
    others += [z.box for z in layout.zones if z.box is not zone]
    return not any(_touch(goal, other) for other in others)


def _inside(inner: Box, outer: Box) -> bool:
    return outer.x0 <= inner.x0 and inner.x1 <= outer.x1 and outer.y0 <= inner.y0 and inner.y1 <= outer.y1


def _touch(a: Box, b: Box) -> bool:
    return a.x0 - 4 < b.x1 and b.x0 - 4 < a.x1 and a.y0 - CLEAR < b.y1 and b.y0 - CLEAR < a.y1


def _level(run: _Run, columns: list[_Column], where: dict[str, int]) -> None:
    """Choose the height of a wire in each column: go on level where it is clear, else as the program went."""
    start, goal = _ends(run)
    run.y[run.first], run.y[run.last] = start, goal
    label = f"label {run.link.id}"
    height = start
    for n in range(run.first + 1, run.last):
        column = columns[n]
        above = CLEAR
        wishes = [height, goal, run.link.guide_y((column.x0 + column.x1) / 2)]
        if where.get(label) == n:
            box = column.boxes[label]
            above = box.y1 - box.y0 + 1
            wishes[2:] = [box.y1]
        owner = label if above > CLEAR else run.link.id
        height = next((y for y in wishes if column.is_clear(owner, y - above, y + CLEAR)), wishes[-1])
        if run.link.label and where.get(label) == n:
            run.link.label.box = run.link.label.box.moved(height - run.link.label.box.y1)
            column.boxes[label] = run.link.label.box
        column.levels[owner] = height
        run.y[n] = height


def _spread_at_bars(runs: list[_Run], nodes: dict[str, Node]) -> None:
    """Give each wire at a bar a height of its own, in the order in which they come, straight where it can be."""
    for node in nodes.values():
        if not _is_bar(node):
            continue
        for at_right in (False, True):
            side = [
                run for run in runs if (run.left if at_right else run.right) is node and run.first != run.last
            ]
            comes = {id(run): run.y[run.first + 1 if at_right else run.last - 1] for run in side}
            side.sort(key=lambda run: (comes[id(run)], run.link.id))
            low, high = node.symbol.y0 + 6, node.symbol.y1 - 6
            spacing = min(SPACING, (high - low) / max(len(side) - 1, 1))
            heights = []
            for n, run in enumerate(side):
                least = low if n == 0 else heights[-1] + spacing
                heights.append(max(comes[id(run)], least))
            for n in range(len(side) - 1, -1, -1):
                most = high if n == len(side) - 1 else heights[n + 1] - spacing
                heights[n] = min(heights[n], most)
            for run, height in zip(side, heights, strict=True):
                run.y[run.first if at_right else run.last] = height


def _tracks(runs: list[_Run], columns: list[_Column]) -> dict[tuple[int, str], float]:
    """Return the x of the upright run of each wire in each gap where it changes height."""
    tracks: dict[tuple[int, str], float] = {}
    for gap in range(len(columns)):
        rises = []
        for run in runs:
            if run.first == run.last == gap:
                rises.append((*_ends(run), run.link.id))
            elif run.first <= gap < run.last and abs(run.y[gap] - run.y[gap + 1]) > 0.5:
                rises.append((run.y[gap], run.y[gap + 1], run.link.id))
        if not rises:
            continue
        lanes = _lanes(rises)
        left = columns[gap].x1
        right = columns[gap + 1].x0 if gap + 1 < len(columns) else left + 30
        count = max(lanes.values()) + 1
        for name, lane in lanes.items():
            tracks[gap, name] = left + (right - left) * (lane + 1) / (count + 1)
    return tracks


def _lanes(rises: list[tuple[float, float, str]]) -> dict[str, int]:
    """Order the upright runs of one gap from left to right so that few of them cross."""
    order = sorted(rises, key=lambda r: (r[1] < r[0], -r[0] if r[1] > r[0] else r[0], r[2]))
    for _ in range(len(order)):
        for n in range(len(order) - 1):
            if _crossings(order[n + 1], order[n]) < _crossings(order[n], order[n + 1]):
                order[n], order[n + 1] = order[n + 1], order[n]
    lanes: dict[str, int] = {}
    for n, (a, b, name) in enumerate(order):
        before = [
            lanes[other]
            for c, d, other in order[:n]
            if min(a, b) - CLEAR < max(c, d) and min(c, d) - CLEAR < max(a, b)
        ]
        lanes[name] = max(before, default=-1) + 1
    return lanes


def _crossings(left: tuple[float, float, str], right: tuple[float, float, str]) -> int:
    """Count how often two wires cross when the upright run of the one is left of that of the other."""
    leaves = min(right[:2]) < left[1] < max(right[:2])
    comes = min(left[:2]) < right[0] < max(left[:2])
    return leaves + comes


def _edge_x(node: Node, at_right: bool) -> float:
    """Return where the body of a symbol begins on one side."""
    if _is_bar(node):
        return node.symbol.x
    kind = next(name.removeprefix("symbol-") for name in node.classes if name.startswith("symbol-"))
    left = node.symbol.x - 24
    return left + 48 - SYMBOLS[kind].right if at_right else left + SYMBOLS[kind].left


def _corners(run: _Run, columns: list[_Column], tracks: dict[tuple[int, str], float]) -> Iterator[Point]:
    height = run.y[run.first]
    yield _edge_x(run.left, True), height
    if run.first == run.last:
        start, goal = _ends(run)
        x = tracks[run.first, run.link.id]
        yield from ((x, start), (x, goal), (_edge_x(run.right, True), goal))
        return
    for n in range(run.first, run.last):
        x = tracks.get((n, run.link.id))
        if x is not None:
            yield x, height
            height = run.y[n + 1]
            yield x, height
    height = run.y[run.last]
    if run.under and run.right.id == run.link.end:
        yield run.right.symbol.x, height
        yield run.right.symbol.x, run.right.symbol.y1
    else:
        yield _edge_x(run.right, False), height
