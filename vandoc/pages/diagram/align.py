"""Vertical alignment of parts in their columns, for straight wires and zones with room for their captions.

The layout program decides columns, order and zones; alignment changes none of them.
"""

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

from vandoc.pages.diagram.dot import MINUS_CELL, SYMBOL_CELL
from vandoc.pages.diagram.layout import Box, Layout, Link, Node
from vandoc.pages.diagram.spacing import kept_within, spaced
from vandoc.pages.diagram.symbols import BOX

ROOM = 12.0  # [pt] between parts of a column
ZONE_HEAD, ZONE_FOOT = 26.0, 12.0  # [pt] of a zone above and below its parts
ZONE_WORDS = 20.0  # [pt] that the layout program leaves below the parts of a zone
BAR_END = 8.0  # [pt] by which a busbar extends beyond its last wire
REACH = 50.0  # [pt] from which the weight of a goal decreases
SIGNAL_DROP = 13.0  # [pt] from the middle of a device down to its signal input
SPACING = 12.0  # [pt] between wires at a busbar


def is_bar(node: Node) -> bool:
    """Whether wires can be connected anywhere along the height of a part."""
    return node.kind == "busbar" or (node.kind == "board" and node.symbol.y1 - node.symbol.y0 > BOX + 1)


def bar_heights(bar: Node, goals: list[float]) -> list[float]:
    """Return the heights of wires at one side of a busbar, as close as possible to ascending goals."""
    low, high = bar.symbol.y0 + BAR_END, bar.symbol.y1 - BAR_END
    gaps = [min(SPACING, (high - low) / max(len(goals) - 1, 1))] * (len(goals) - 1)
    return kept_within(spaced(goals, gaps), gaps, [low] * len(goals), [high] * len(goals))


def port_height(node: Node, link: Link) -> float:
    """Return the height of a wire at a part that is not a busbar."""
    if "under" in link.classes and link.end == node.id and (cell := node.cell(MINUS_CELL)):
        return cell.box.y + 2
    if "signal" in link.classes and link.end == node.id and node.kind == "dc-dc":
        return node.symbol.y + SIGNAL_DROP
    return node.symbol.y


def align(layout: Layout) -> None:
    """Move the parts of a layout, stretch its busbars, and fit its zones around their parts again."""
    zones = [(zone, [node for node in layout.nodes if zone.holds(node)]) for zone in layout.zones]
    bounds = {node.id: zone.box for zone, members in zones for node in members}
    before = {node.id: node.symbol.y for node in layout.nodes}
    sweep = _Sweep(layout, bounds)
    for _ in range(3):
        sweep.run(to_left=True)
        sweep.run(to_left=False)
    sweep.stretch_bars()
    sweep.run(to_left=True)  # last, so that the path from a battery is straight
    sweep.stretch_bars()
    _bring_along(layout, {node.id: node.symbol.y - before[node.id] for node in layout.nodes})
    for zone, members in zones:
        if members:
            zone.box = Box(
                *(zone.box.x0, min(node.box.y0 for node in members) - ZONE_HEAD),
                *(zone.box.x1, max(node.box.y1 for node in members) + ZONE_FOOT),
            )


def _height(node: Node) -> float:
    return node.box.y1 - node.box.y0


@dataclass
class _Sweep:
    layout: Layout
    bounds: dict[str, Box]

    def __post_init__(self) -> None:
        self.nodes = {node.id: node for node in self.layout.nodes}
        self.columns = _columns(self.layout.nodes)
        self.place = {node.id: n for n, column in enumerate(self.columns) for node in column}
        self.room = {node.id: self._room(node) for node in self.layout.nodes}
        self.links = sorted(self.layout.links, key=lambda link: (-link.width, link.id))

    def run(self, to_left: bool) -> None:
        """Align each part with its neighbours on one side, column by column."""
        for column in self.columns if to_left else reversed(self.columns):
            wishes = dict(self._wishes(column, to_left))
            self._settle(column, wishes)

    def _wishes(self, column: list[Node], to_left: bool) -> Iterator[tuple[str, tuple[float, float]]]:
        """Yield the downward shift that would straighten the largest wire of each part, with a weight.

        A port of a neighbour can make only one wire level; at a busbar the largest wire has the most weight.
        """
        taken: Counter[str] = Counter()
        members = {node.id: node for node in column}
        for link in self.links:
            for node in (members[end] for end in (link.start, link.end) if end in members):
                if node.id in taken or is_bar(node) or not self._leads(link, node, to_left):
                    continue
                other = self._other(link, node)
                if is_bar(other):
                    goal = self._bar_height(other, link, not to_left)
                elif other.id in taken:
                    continue
                else:
                    goal = port_height(other, link)
                yield node.id, (goal - port_height(node, link), link.width**2 / (1 + 3 * taken[other.id]))
                taken.update((node.id, other.id))

    def _other(self, link: Link, node: Node) -> Node:
        return self.nodes[link.end if link.start == node.id else link.start]

    def _leads(self, link: Link, node: Node, to_left: bool) -> bool:
        """Whether a wire connects a part to a column on the given side."""
        if node.id not in (link.start, link.end):
            return False
        here, there = self.place[node.id], self.place[self._other(link, node).id]
        return there < here if to_left else there > here

    def _bar_height(self, bar: Node, link: Link, to_left: bool) -> float:
        """Return the height at which a wire meets one side of a busbar."""
        side = [one for one in self.links if self._leads(one, bar, to_left)]
        ends = sorted((port_height(self._other(one, bar), one), one.id) for one in side)
        heights = bar_heights(bar, [height for height, _ in ends])
        return next(y for y, (_, ident) in zip(heights, ends, strict=True) if ident == link.id)

    def _settle(self, column: list[Node], wishes: dict[str, tuple[float, float]]) -> None:
        """Apply the shifts as far as the order and space in a column and the bounds of its zones allow."""
        gaps = [_height(above) + self._gap(above, below) for above, below in pairwise(column)]
        lows = [self.room[node.id][0] for node in column]
        highs = [self.room[node.id][1] - _height(node) for node in column]
        goals = [
            min(max(node.box.y0 + wishes.get(node.id, (0.0, 0.0))[0], low), high)
            for node, low, high in zip(column, lows, highs, strict=True)
        ]
        weights = [
            wishes.get(node.id, (0.0, 0.05))[1] / (1 + ((goal - node.box.y0) / REACH) ** 2)
            for node, goal in zip(column, goals, strict=True)
        ]
        tops = kept_within(spaced(goals, gaps, weights), gaps, lows, highs)
        if all(low <= top + 0.01 for low, top in zip(lows, tops, strict=True)):
            for node, top in zip(column, tops, strict=True):
                node.move(top - node.box.y0)

    def _room(self, node: Node) -> tuple[float, float]:
        """Return the range of heights for a part: inside its zone, or clear of other zones."""
        own = self.bounds.get(node.id)
        if own is not None:
            return own.y0 + ZONE_FOOT, own.y1 - ZONE_FOOT - ZONE_WORDS
        low, high = -1000.0, self.layout.height + 1000.0
        for zone in (zone.box for zone in self.layout.zones):
            if zone.x0 < node.box.x1 and node.box.x0 < zone.x1:
                if node.box.y < zone.y:
                    high = min(high, zone.y0 - ZONE_HEAD + ZONE_FOOT - ROOM / 2)
                else:
                    low = max(low, zone.y1 - ZONE_WORDS + ROOM / 2)
        return low, high

    def _gap(self, above: Node, below: Node) -> float:
        together = self.bounds.get(above.id) is self.bounds.get(below.id)
        return ROOM if together else ROOM + ZONE_HEAD + ZONE_FOOT

    def stretch_bars(self) -> None:
        """Extend each busbar to the heights of the parts connected to it, if there is room."""
        for column in self.columns:
            for n, bar in enumerate(column):
                low, high = self.room[bar.id]
                if n:
                    low = max(low, column[n - 1].box.y1 + ROOM)
                if n + 1 < len(column):
                    high = min(high, column[n + 1].box.y0 - ROOM)
                if bar.kind == "busbar":
                    self._stretch(bar, low, high)

    def _stretch(self, bar: Node, low: float, high: float) -> None:
        ends = [
            port_height(self._other(link, bar), link)
            for link in self.links
            if bar.id in (link.start, link.end)
        ]
        cell = bar.cell(SYMBOL_CELL)
        if cell is None or not ends:
            return
        head, foot = cell.box.y0 - bar.box.y0, bar.box.y1 - cell.box.y1
        top = max(min(ends) - BAR_END, low + head)
        end = min(max(ends) + BAR_END, high - foot)
        if len(ends) < 3 or end - top < cell.box.y1 - cell.box.y0:
            top, end = min(top, cell.box.y0), max(end, cell.box.y1)
        up, down = top - cell.box.y0, end - cell.box.y1
        for other in bar.cells:
            if other is not cell:
                other.box = other.box.moved(up if other.box.y1 <= cell.box.y0 + 1 else down)
        cell.box = Box(cell.box.x0, top, cell.box.x1, end)


def _columns(nodes: list[Node]) -> list[list[Node]]:
    columns: list[list[Node]] = []
    end = 0.0
    for node in sorted(nodes, key=lambda node: (node.box.x0, node.id)):
        if not columns or node.box.x0 > end - 1:
            columns.append([])
            end = node.box.x1
        columns[-1].append(node)
        end = max(end, node.box.x1)
    return [sorted(column, key=lambda node: (node.box.y0, node.id)) for column in columns]


def _bring_along(layout: Layout, moved: dict[str, float]) -> None:
    """Move the wire paths and the labels with the parts at their ends."""
    for link in layout.links:
        first, last = moved[link.start], moved[link.end]
        if link.guide[0][0] > link.guide[-1][0]:
            first, last = last, first
        x0, x1 = min(x for x, _ in link.guide), max(x for x, _ in link.guide)

        def shift(x: float, x0: float = x0, x1: float = x1, a: float = first, b: float = last) -> float:
            return a if x1 <= x0 else a + (b - a) * min(max((x - x0) / (x1 - x0), 0.0), 1.0)

        link.guide = [(x, y + shift(x)) for x, y in link.guide]
        if link.label:
            link.label.box = link.label.box.moved(shift(link.label.box.x))
