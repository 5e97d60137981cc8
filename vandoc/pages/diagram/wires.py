"""Routing of wires horizontally and vertically through the gaps between the columns of the layout.

The program places parts in columns. A wire is horizontal in each column, past its parts and labels, and
changes height only in the gaps between two columns, where each vertical run has a track of its own. Two wires
that swap places between adjacent columns would need a third run; instead they touch over a few points.
"""

from collections.abc import Iterator
from dataclasses import dataclass, field

from vandoc.pages.diagram.align import bar_heights, is_bar, port_height
from vandoc.pages.diagram.layout import Box, Layout, Link, Node, Point
from vandoc.pages.diagram.symbols import symbol_named

LEVEL_WITHIN = 3.5  # [pt] within which a wire at a busbar is drawn horizontal
MARGIN = 6.0  # [pt] above and below the drawing
CLEARANCE = 6.0  # [pt] between a wire and the parts that it passes


_Rise = tuple[float, float, str]  # heights at which a vertical run enters on the left and leaves; its wire


@dataclass
class _Column:
    x0: float
    x1: float
    boxes: dict[str, Box] = field(default_factory=dict)  # of parts, and of labels already placed
    levels: list[float] = field(default_factory=list)  # of the wires that pass

    def is_clear(self, top: float, bottom: float) -> bool:
        """Whether the column is clear between two heights."""
        if any(bottom > box.y0 and top < box.y1 for box in self.boxes.values()):
            return False
        return not any(top < level < bottom for level in self.levels)

    def gaps(self, above: float, below: float, near: float) -> list[float]:
        """Return heights just past each obstacle in the column, nearest first; the last are always clear."""
        ends = [(box.y0, box.y1) for box in self.boxes.values()] + [(y, y) for y in self.levels]
        past = [height for y0, y1 in ends for height in (y0 - below - 0.1, y1 + above + 0.1)]
        return sorted(past or [near], key=lambda height: (abs(height - near), height))


@dataclass
class _Run:
    """A wire being routed: the columns of its ends and its label, and its height in each column between.

    A wire to another zone changes its height `early`, so that it does not cross the caption of that zone.
    """

    link: Link
    left: Node
    right: Node
    first: int
    last: int
    label: int | None
    early: bool
    y: dict[int, float] = field(default_factory=dict)

    @property
    def under(self) -> bool:
        return "under" in self.link.classes


def route(layout: Layout) -> dict[str, list[Point]]:
    """Return the corners of each wire by its id; the labels of the layout move with their wires.

    Finally the whole layout is moved into view.
    """
    nodes = {node.id: node for node in layout.nodes}
    columns = _columns(layout)
    where = {name: n for n, column in enumerate(columns) for name in column.boxes}
    zones = {node.id: n for n, zone in enumerate(layout.zones) for node in layout.nodes if zone.holds(node)}
    for column in columns:
        column.boxes = {name: box for name, box in column.boxes.items() if name in nodes}
    runs = []
    for link in layout.links:
        a, b = link.start, link.end
        if where[a] > where[b]:
            a, b = b, a
        early = zones.get(a) != zones.get(b)
        runs.append(_Run(link, nodes[a], nodes[b], where[a], where[b], where.get(_label(link)), early))
    _set_ends(runs, nodes)
    runs.sort(key=_rank)
    for run in runs:
        _level(run, columns)
    tracks = _tracks(runs, columns)
    corners = {run.link.id: list(_corners(run, tracks)) for run in runs}
    return _shift_into_view(layout, corners)


def _shift_into_view(layout: Layout, corners: dict[str, list[Point]]) -> dict[str, list[Point]]:
    """Move everything to the top margin, and fit the height of the drawing."""
    boxes = [node.box for node in layout.nodes] + [zone.box for zone in layout.zones]
    boxes += [link.label.box for link in layout.links if link.label]
    heights = [y for points in corners.values() for _, y in points]
    tops, ends = [box.y0 for box in boxes] + heights, [box.y1 for box in boxes] + heights
    dy = MARGIN - min(tops, default=0.0)
    layout.height = max(ends, default=0.0) + dy + MARGIN
    for node in layout.nodes:
        node.move(dy)
    for zone in layout.zones:
        zone.box = zone.box.moved(dy)
    for link in layout.links:
        if link.label:
            link.label.box = link.label.box.moved(dy)
    return {name: [(x, y + dy) for x, y in points] for name, points in corners.items()}


def _rank(run: _Run) -> tuple[bool, int, int, str]:
    """Sort key for routing wires: supplies first, then horizontal wires, then short ones."""
    rise = round(abs(run.y[run.first] - run.y[run.last]))
    return "positive" not in run.link.classes, rise, run.last - run.first, run.link.id


def _set_ends(runs: list[_Run], nodes: dict[str, Node]) -> None:
    """Set the heights of each wire at both ends; at a busbar in the order of the wires."""
    for run in runs:
        run.y[run.first] = port_height(run.left, run.link)
        run.y[run.last] = port_height(run.right, run.link)
    for node in nodes.values():
        for at_right in (False, True) if is_bar(node) else ():
            side = [run for run in runs if (run.left if at_right else run.right) is node]
            other = {run.link.id: port_height(run.right if at_right else run.left, run.link) for run in side}
            side.sort(key=lambda run: (other[run.link.id], run.link.id))
            goals = [other[run.link.id] for run in side]
            for run, goal, height in zip(side, goals, bar_heights(node, goals), strict=True):
                level = goal if abs(goal - height) < LEVEL_WITHIN else height
                run.y[run.first if at_right else run.last] = level


def _columns(layout: Layout) -> list[_Column]:
    """Group parts and labels in columns."""
    boxes = [(node.box, node.id) for node in layout.nodes]
    boxes += [(link.label.box, _label(link)) for link in layout.links if link.label]
    columns: list[_Column] = []
    for box, name in sorted(boxes, key=lambda item: (item[0].x0, item[1])):
        if not columns or box.x0 > columns[-1].x1 - 1:
            columns.append(_Column(box.x0, box.x1))
        columns[-1].x1 = max(columns[-1].x1, box.x1)
        columns[-1].boxes[name] = box
    return columns


def _level(run: _Run, columns: list[_Column]) -> None:
    """Choose the height of a wire in each column: the same height if clear, otherwise as in the layout."""
    height, goal = run.y[run.first], run.y[run.last]
    for n in range(run.first + 1, run.last):
        column = columns[n]
        text = run.link.label if run.label == n else None
        above = text.box.y1 - text.box.y0 + 1 if text else CLEARANCE
        usual = text.box.y1 if text else run.link.guide_y((column.x0 + column.x1) / 2)
        wishes = [goal, height, usual] if run.early else [height, goal, usual]
        wishes += column.gaps(above, CLEARANCE, usual)
        height = next(y for y in wishes if column.is_clear(y - above, y + CLEARANCE))
        if text:
            text.box = text.box.moved(height - text.box.y1)
            column.boxes[_label(run.link)] = text.box
        column.levels.append(height)
        run.y[n] = height


def _label(link: Link) -> str:
    return f"label {link.id}"


def _tracks(runs: list[_Run], columns: list[_Column]) -> dict[tuple[int, str], float]:
    """Return the x of the vertical run of each wire in each gap where it changes height."""
    tracks: dict[tuple[int, str], float] = {}
    for gap in range(len(columns)):
        rises = []
        for run in runs:
            if run.first == run.last == gap:
                rises.append((run.left.symbol.y, run.right.symbol.y, run.link.id))
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


def _lanes(rises: list[_Rise]) -> dict[str, int]:
    """Order the vertical runs of one gap from left to right to minimise crossings."""
    order = sorted(rises, key=lambda r: (r[1] < r[0], -r[0] if r[1] > r[0] else r[0], r[2]))
    for _ in range(len(order)):
        moved = [_moved_to_best(order, n) for n in range(len(order))]
        if not any(moved):
            break
    lanes: dict[str, int] = {}
    for n, (a, b, name) in enumerate(order):
        before = [
            lanes[other]
            for c, d, other in order[:n]
            if min(a, b) - CLEARANCE < max(c, d) and min(c, d) - CLEARANCE < max(a, b)
        ]
        lanes[name] = max(before, default=-1) + 1
    return lanes


def _moved_to_best(order: list[_Rise], n: int) -> bool:
    """Move one vertical run to the position with the fewest crossings; return whether it moved."""
    best, goal = 0, n
    for steps in (range(n - 1, -1, -1), range(n + 1, len(order))):
        gain = 0
        for other in steps:
            left, right = (other, n) if other < n else (n, other)
            gain += _crossings(order[right], order[left]) - _crossings(order[left], order[right])
            if gain < best:
                best, goal = gain, other
    order.insert(goal, order.pop(n))
    return goal != n


def _crossings(left: _Rise, right: _Rise) -> int:
    """Count the crossings of two wires if the vertical run of the first is left of that of the second."""
    leaves = min(right[:2]) < left[1] < max(right[:2])
    comes = min(left[:2]) < right[0] < max(left[:2])
    upon = abs(left[1] - right[0]) < LEVEL_WITHIN  # one would leave along the line on which the other enters
    return leaves + comes + 10 * upon


def _edge_x(node: Node, at_right: bool) -> float:
    """Return the x at which the body of a symbol begins on one side."""
    if node.kind == "busbar":
        return node.symbol.x
    left = node.symbol.x - 24
    body = symbol_named(node.kind)
    return left + 48 - body.right if at_right else left + body.left


def _corners(run: _Run, tracks: dict[tuple[int, str], float]) -> Iterator[Point]:
    height = run.left.symbol.y if run.first == run.last else run.y[run.first]
    yield _edge_x(run.left, True), height
    if run.first == run.last:
        x, goal = tracks[run.first, run.link.id], run.right.symbol.y
        yield from ((x, height), (x, goal), (_edge_x(run.right, True), goal))
        return
    for n in range(run.first, run.last):
        if (n, run.link.id) in tracks:
            yield tracks[n, run.link.id], height
            height = run.y[n + 1]
            yield tracks[n, run.link.id], height
    if run.under and run.right.id == run.link.end:
        yield run.right.symbol.x, height
        yield run.right.symbol.x, run.right.symbol.y1
    else:
        yield _edge_x(run.right, False), height
