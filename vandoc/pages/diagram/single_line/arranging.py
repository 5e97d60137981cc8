"""Positions for a tree: columns outward from its root, every chain of parts on one level, boards as rows.

A column is as wide as its widest texts. Nothing is moved afterwards, so no line meets a text or another line.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field

from vandoc.pages.diagram.single_line.drawing import Anchor, Box, Drawing, Point
from vandoc.pages.diagram.single_line.growing import Tree
from vandoc.pages.diagram.single_line.pen import DOT, NOTE_LINE, Pen, ident_of
from vandoc.pages.diagram.single_line.rows import Columns, Rows, extent
from vandoc.pages.diagram.single_line.stations import Cable, Part, Station
from vandoc.pages.diagram.single_line.wording import cable_text, cable_width, head, note_lines
from vandoc.pages.diagram.symbols import BOX, symbol_named

HALF = BOX / 2
GAP = 14.0  # [px] between lanes
LANE_GAP = 28.0  # between lanes on the left, which mostly begin in different places
BAR_GAP = 6.0  # between what is connected to a bar
BAR_END = 12.0  # by which a bar is longer than its outermost cables
BAR_WIDTH = 7.0
LONE_BAR = 36.0  # height of a bar to which nothing further is connected
TRUNK = 10.0  # from a symbol to the line down to further parts


def arranged(tree: Tree, codes: Mapping[str, str], detailed: bool = False) -> Drawing:
    """Return the drawing of a tree, its root at x = 0.

    Parameters
    ----------
    tree : Tree
    codes : mapping
        The letter of its place that is written beside a part, by the id of the part.
    detailed : bool
        Whether rows show every part with its name and its return.
    """
    return _Arranger(tree, codes, detailed).drawing()


@dataclass
class _Side:
    """One side of the root: the direction in which it grows, and the distances of its columns."""

    way: int
    columns: list[float] = field(default_factory=list)

    def x(self, slot: int) -> float:
        return self.way * self.columns[slot]


class _Arranger:
    def __init__(self, tree: Tree, codes: Mapping[str, str], detailed: bool) -> None:
        self.codes, self.detailed = codes, detailed
        self.root = tree.root
        self.pen = Pen()
        self.rows = Rows(self.pen, detailed)
        left, right = list(tree.left), list(tree.right)
        if not tree.root.is_bar:
            right, left = [Station(tree.root, Cable(), [*left, *right])], []
        self.sides = [(_Side(-1), left), (_Side(1), right)]
        self.slots: dict[int, int] = {}
        self.columns = Columns.of(right)
        for side, stations in self.sides:
            self._set_slots(stations)
            self._set_columns(side, stations)

    def drawing(self) -> Drawing:
        ends: list[float] = []
        starts: list[float] = []
        for side, stations in self.sides:
            top = 0.0
            for station in stations:
                above, below = self._extent(station)
                y = top + above
                self._place(side, station, y)
                if self.root.is_bar:
                    self._join(side, station, (side.way * BAR_WIDTH / 2, y), y, ident_of(self.root))
                    ends.append(y)
                    starts.append(top)
                top = y + below + (0.0 if station.row else LANE_GAP if side.way < 0 else GAP)
        if self.root.is_bar:
            self._bar(self.root, 0.0, min(starts, default=0.0), max(ends, default=0.0) + BAR_END, middle=True)
        return self.pen.made

    # Columns

    def _set_slots(self, stations: list[Station]) -> None:
        for station in stations:
            self._slot(station, 0)
        every = [one for station in stations for one in station.all() if not self._in_row(one)]
        turning = [one for one in every if _converts(one.part)]
        column = max((self.slots[id(one)] for one in turning), default=0)
        for station in stations:
            self._push(station, column, _converts)
        bars = [one for one in every if one.part.is_bar]
        column = max((self.slots[id(one)] for one in bars), default=0)
        for station in stations:
            self._push(station, column, lambda part: part.is_bar)

    def _in_row(self, station: Station) -> bool:
        return id(station) not in self.slots

    def _slot(self, station: Station, slot: int) -> None:
        self.slots[id(station)] = slot
        if not station.row:
            for child in station.children:
                self._slot(child, slot + 1)

    def _push(self, station: Station, column: int, meant: Callable[[Part], bool]) -> None:
        """Move the first part of each chain that is meant outward to a column, and all behind it."""
        if station.row:
            return
        if meant(station.part):
            self._shift(station, max(column - self.slots[id(station)], 0))
            return
        for child in station.children:
            self._push(child, column, meant)

    def _shift(self, station: Station, by: int) -> None:
        for one in station.all():
            if id(one) in self.slots:
                self.slots[id(one)] += by

    def _set_columns(self, side: _Side, stations: list[Station]) -> None:
        """Set the distance of each column from the root: as far as the widest words on the way need."""
        rooms: dict[int, float] = {}
        heads: dict[int, float] = {}
        notes: dict[int, float] = {}

        def need(child: Station, parent: Part, several: bool) -> None:
            slot = self.slots[id(child)]
            words = cable_width(child.cable)
            body = (
                _reach(parent, side.way) + (TRUNK + DOT if several else 0.0) + _reach(child.part, -side.way)
            )
            rooms[slot] = max(rooms.get(slot, 0.0), body + (words + 12 if words else 16))
            heads[slot] = max(
                heads.get(slot, 0.0), 0.0 if child.part.is_bar else head(child.part, self.codes).width / 2
            )
            lines = [line for note in child.part.notes for line in note_lines(note)]
            widest = max((cable_text(line) + 14 for line in lines), default=0.0)
            notes[slot] = max(notes.get(slot, 0.0), widest)

        for first in stations:
            if not first.row:
                need(first, self.root, several=False)
            for station in first.all():
                for child in station.children:
                    if id(child) in self.slots and not child.row:
                        several = len(station.children) > 1 and not station.part.is_bar
                        need(child, station.part, several)
        x = 0.0
        for slot in range(max(rooms, default=-1) + 1):
            room = max(rooms.get(slot, 0.0), heads.get(slot - 1, 0.0) + heads.get(slot, 0.0) + 16)
            room = max(room, notes.get(slot - 1 if side.way > 0 else slot, 0.0) + 8)
            x = x + room if slot or self.root.is_bar else 0.0
            side.columns.append(x)

    # Levels

    def _extent(self, station: Station) -> tuple[float, float]:
        """Return the heights above and below the level of a station and all behind it."""
        if station.row:
            return extent(station, self.detailed)
        if station.part.is_bar:
            total = head(station.part, self.codes).height + 6 + self._rows_height(station)
            first, last = self._bar_ends(station)
            level = head(station.part, self.codes).height + 6 + (first + last) / 2
            return level, total - level + self._below(station.part)
        above = HALF + 5 + head(station.part, self.codes).height
        below = HALF + self._below(station.part)
        for n, child in enumerate(station.children):
            up, down = self._extent(child)
            if n == 0:
                above, below = max(above, up), max(below, down)
            else:
                below += GAP + up + down
        return above, below

    def _rows_height(self, bar: Station) -> float:
        heights = [sum(self._extent(child)) + (0 if child.row else BAR_GAP) for child in bar.children]
        return max(sum(heights), LONE_BAR / 2) + BAR_END

    def _bar_ends(self, bar: Station) -> tuple[float, float]:
        """Return the levels of the first and the last cable of a bar, from the top of its rows."""
        if not bar.children:
            return LONE_BAR / 2, LONE_BAR / 2
        top, levels = 0.0, []
        for child in bar.children:
            up, down = self._extent(child)
            levels.append(top + up)
            top += up + down + (0 if child.row else BAR_GAP)
        return levels[0], levels[-1]

    def _below(self, part: Part) -> float:
        return sum(len(note_lines(note)) * NOTE_LINE + 4 for note in part.notes) + (12 if part.notes else 4)

    # Parts

    def _place(self, side: _Side, station: Station, y: float) -> None:
        if station.row:
            return
        x = side.x(self.slots[id(station)])
        part = station.part
        if part.is_bar:
            self._place_bar(side, station, x, y)
            return
        ident = self.pen.symbol(part, part.symbol, Box(x - HALF, y - HALF, x + HALF, y + HALF))
        self.pen.head(head(part, self.codes), x, y - HALF - 5, ident, "middle")
        end = symbol_named(part.symbol)
        out = x + side.way * (HALF - (end.right if side.way > 0 else end.left))
        level = y
        turn = x + side.way * (_reach(part, side.way) + TRUNK)
        for n, child in enumerate(station.children):
            up, down = self._extent(child)
            if n == 0:
                lowest = y + max(down, HALF + self._below(part))
            else:
                level = lowest + GAP + up
                lowest = level + down
            self._place(side, child, level)
            start: Point = (out, y) if n == 0 else (turn, y)
            self._join(
                side,
                child,
                start,
                level,
                ident_of(part),
                clear=turn if len(station.children) > 1 else None,
            )
        if len(station.children) > 1:
            self.pen.dot(f"joint-{part.id}", turn, y)
        self._notes(part, x, y + HALF, towards_right=not (side.way > 0 and len(station.children) > 1))

    def _place_bar(self, side: _Side, bar: Station, x: float, y: float) -> None:
        first, last = self._bar_ends(bar)
        top = y - (first + last) / 2
        self._bar(bar.part, x, top, top + last + BAR_END)
        level = top
        columns = Columns.of(bar.children)
        for child in bar.children:
            up, down = self._extent(child)
            level += up
            if child.row:
                self.rows.draw(child, x + BAR_WIDTH / 2, level, ident_of(bar.part), columns)
            else:
                self._place(side, child, level)
                self._join(side, child, (x + side.way * BAR_WIDTH / 2, level), level, ident_of(bar.part))
            level += down + (0 if child.row else BAR_GAP)
        self._notes(bar.part, x, top + self._rows_height(bar))

    def _bar(self, part: Part, x: float, top: float, end: float, middle: bool = False) -> None:
        box = Box(x - BAR_WIDTH / 2, top, x + BAR_WIDTH / 2, end)
        ident = self.pen.symbol(part, "busbar", box)
        anchor: Anchor = "middle" if middle else "start"
        self.pen.head(head(part, self.codes), x if middle else box.x0, top - 6, ident, anchor)
        if middle:
            self._notes(part, x, end)

    # Cables

    def _join(
        self,
        side: _Side,
        child: Station,
        start: Point,
        level: float,
        origin: str,
        clear: float | None = None,
    ) -> None:
        """Draw the cable of a station from where it begins, with its words in the last gap."""
        if child.row:
            self.rows.draw(child, *start, origin, self.columns)
            return
        slot = self.slots[id(child)]
        x = side.x(slot)
        if child.part.is_bar:
            end = x - side.way * BAR_WIDTH / 2
        else:
            shape = symbol_named(child.part.symbol)
            end = x - side.way * (HALF - (shape.left if side.way > 0 else shape.right))
        points = (start, (end, level)) if start[1] == level else (start, (start[0], level), (end, level))
        self.pen.line(child.cable, origin, ident_of(child.part), points)
        near = x - side.way * _reach(child.part, -side.way)
        width = cable_width(child.cable) / 2 + 5
        begin = start[0] if clear is None else clear + side.way * DOT / 2
        middle = (begin + near) / 2
        self.pen.cable_words(
            child.cable, middle if abs(near - middle) < 2 * width else near - side.way * width, level
        )

    def _notes(self, part: Part, x: float, top: float, towards_right: bool = True) -> None:
        begin = top if part.is_bar else top - symbol_named(part.symbol).below
        self.pen.notes(part, x, begin, top + 12, towards_right)


def _reach(part: Part, way: int) -> float:
    """Return how far the body of a symbol reaches from its middle to one side."""
    if part.is_bar:
        return BAR_WIDTH / 2
    shape = symbol_named(part.symbol)
    inset = shape.right if way > 0 else shape.left
    return max(HALF - inset, 18.0)


def _converts(part: Part) -> bool:
    return part.symbol in ("dc-dc", "ac-dc", "inverter", "relay")
