"""Positions for a tree: columns outward from its root, every chain of parts on one level, boards as rows.

A column is as wide as its widest texts. Nothing is moved afterwards, so no line meets a text or another line.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field

from vandoc.pages.diagram.single_line.drawing import (
    LEADING,
    SIZES,
    Anchor,
    Box,
    Drawing,
    Line,
    Point,
    Symbol,
    Words,
)
from vandoc.pages.diagram.single_line.growing import Tree
from vandoc.pages.diagram.single_line.stations import Cable, Note, Part, Sign, Station
from vandoc.pages.diagram.svg import text_width, wrap
from vandoc.pages.diagram.symbols import BOX, symbol_named

HALF = BOX / 2
HEAD_WIDTH = 112.0  # [px] of the words above a symbol
BAR_HEAD_WIDTH = 230.0
CABLE_WIDTH = 98.0  # of the words along a cable
NOTE_WIDTH = 112.0
NOTE_LINE = 14.0
LINE_GAP = 9.0  # between a line and the middle of the words above or below it
GAP = 14.0  # between lanes
LANE_GAP = 28.0  # between lanes on the left, which mostly begin in different places
BAR_END = 12.0  # by which a bar is longer than its outermost cables
BAR_WIDTH = 7.0
LONE_BAR = 36.0  # height of a bar to which nothing further is connected
TRUNK = 10.0  # from a symbol to the line down to further parts
ROW_ABOVE, ROW_BELOW = 17.0, 8.0
ROW_FUSE = 28.0
ROW_NAME = 230.0  # of the names at the end of a row
DOT = 7.0

# Cross-section up to which a line has a width. [mm²] to [px]
WIDTHS = ((1.5, 1.3), (4.0, 1.8), (10.0, 2.4), (25.0, 3.2), (50.0, 4.2), (float("inf"), 5.2))
THIN = 1.2


def line_width(cable: Cable) -> float:
    """Return the width of the line of a cable. [px]"""
    if cable.sign != "+" or not cable.thickness:
        return THIN
    return next(width for area, width in WIDTHS if cable.thickness <= area)


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
class _Head:
    """The words above a symbol."""

    lines: list[tuple[str, bool]]

    @property
    def height(self) -> float:
        return sum(_leading(bold) for _, bold in self.lines)

    @property
    def width(self) -> float:
        return max((text_width(text, _size(bold), bold) for text, bold in self.lines), default=0.0)


def _size(bold: bool) -> float:
    return SIZES["mark"] if bold else SIZES["fact"]


def _leading(bold: bool) -> float:
    return _size(bold) * LEADING


@dataclass
class _Side:
    """One side of the root: the direction in which it grows, and the distances of its columns from the root."""

    way: int
    columns: list[float] = field(default_factory=list)

    def x(self, slot: int) -> float:
        return self.way * self.columns[slot]


class _Arranger:
    def __init__(self, tree: Tree, codes: Mapping[str, str], detailed: bool) -> None:
        self.codes, self.detailed = codes, detailed
        self.root = tree.root
        self.made = Drawing()
        left, right = list(tree.left), list(tree.right)
        if not tree.root.is_bar:
            right, left = [Station(tree.root, Cable(), [*left, *right])], []
        self.sides = [(_Side(-1), left), (_Side(1), right)]
        self.slots: dict[int, int] = {}
        self.columns = _columns([station for station in right if station.row])
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
                    self._join(side, station, (side.way * BAR_WIDTH / 2, y), y, f"part-{self.root.id}")
                    ends.append(y)
                    starts.append(top)
                top = y + below + (0.0 if station.row else LANE_GAP if side.way < 0 else GAP)
        if self.root.is_bar:
            self._bar(self.root, 0.0, min(starts, default=0.0), max(ends, default=0.0) + BAR_END, middle=True)
        return self.made

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
            words = _cable_width(child.cable)
            body = _reach(parent, side.way) + (TRUNK + DOT if several else 0.0) + _reach(child.part, -side.way)
            rooms[slot] = max(rooms.get(slot, 0.0), body + (words + 12 if words else 16))
            heads[slot] = max(heads.get(slot, 0.0), 0.0 if child.part.is_bar else self._head(child.part).width / 2)
            lines = [line for note in child.part.notes for line in _note_lines(note)]
            widest = max((text_width(line, SIZES["cable"]) + 14 for line in lines), default=0.0)
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
            return ROW_ABOVE, _row_below(station) if self.detailed else ROW_BELOW
        if station.part.is_bar:
            total = self._bar_head(station.part).height + 6 + self._rows_height(station)
            first, last = self._bar_ends(station)
            level = self._bar_head(station.part).height + 6 + (first + last) / 2
            return level, total - level + self._below(station.part)
        above = HALF + 5 + self._head(station.part).height
        below = HALF + self._below(station.part)
        for n, child in enumerate(station.children):
            up, down = self._extent(child)
            if n == 0:
                above, below = max(above, up), max(below, down)
            else:
                below += GAP + up + down
        return above, below

    def _rows_height(self, bar: Station) -> float:
        heights = [sum(self._extent(child)) + (0 if child.row else 6) for child in bar.children]
        return max(sum(heights), LONE_BAR / 2) + BAR_END

    def _bar_ends(self, bar: Station) -> tuple[float, float]:
        """Return the levels of the first and the last cable of a bar, from the top of its rows."""
        if not bar.children:
            return LONE_BAR / 2, LONE_BAR / 2
        top, levels = 0.0, []
        for child in bar.children:
            up, down = self._extent(child)
            levels.append(top + up)
            top += up + down + (0 if child.row else 6)
        return levels[0], levels[-1]

    def _below(self, part: Part) -> float:
        return sum(len(_note_lines(note)) * NOTE_LINE + 4 for note in part.notes) + (12 if part.notes else 4)

    # Parts

    def _place(self, side: _Side, station: Station, y: float) -> None:
        if station.row:
            return
        x = side.x(self.slots[id(station)])
        part = station.part
        if part.is_bar:
            self._place_bar(side, station, x, y)
            return
        self._symbol(part, x, y)
        self._words(self._head(part), x, y - HALF - 5, f"part-{part.id}")
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
            self._join(side, child, start, level, f"part-{part.id}", clear=turn if len(station.children) > 1 else None)
        if len(station.children) > 1:
            self._dot(f"joint-{part.id}", turn, y)
        self._notes(part, x, y + HALF, towards_right=not (side.way > 0 and len(station.children) > 1))

    def _place_bar(self, side: _Side, bar: Station, x: float, y: float) -> None:
        first, last = self._bar_ends(bar)
        top = y - (first + last) / 2
        self._bar(bar.part, x, top, top + last + BAR_END)
        level = top
        columns = _columns([child for child in bar.children if child.row])
        for child in bar.children:
            up, down = self._extent(child)
            level += up
            if child.row:
                self._row(child, x + BAR_WIDTH / 2, level, f"part-{bar.part.id}", columns)
            else:
                self._place(side, child, level)
                self._join(side, child, (x + side.way * BAR_WIDTH / 2, level), level, f"part-{bar.part.id}")
            level += down + (0 if child.row else 6)
        self._notes(bar.part, x, top + self._rows_height(bar), towards_right=True)

    def _bar(self, part: Part, x: float, top: float, end: float, middle: bool = False) -> None:
        box = Box(x - BAR_WIDTH / 2, top, x + BAR_WIDTH / 2, end)
        self.made.symbols.append(Symbol(f"part-{part.id}", "busbar", box, *self._told(part)))
        head = self._bar_head(part)
        if middle:
            self._words(head, x, top - 6, f"part-{part.id}")
            self._notes(part, x, end, towards_right=True)
        else:
            self._words(head, x - BAR_WIDTH / 2, top - 6, f"part-{part.id}", start=True)

    def _symbol(self, part: Part, x: float, y: float) -> None:
        box = Box(x - HALF, y - HALF, x + HALF, y + HALF)
        kind = "load" if part.symbol == "load" else part.symbol
        self.made.symbols.append(Symbol(f"part-{part.id}", kind, box, *self._told(part)))

    def _told(self, part: Part, in_row: bool = False) -> tuple[str | None, str, str, str | None, bool]:
        hint = ", ".join(filter(None, (part.mark, part.name, *part.facts)))
        return part.href, hint, part.fuse or "", None if in_row else part.place, not part.here

    def _dot(self, ident: str, x: float, y: float) -> None:
        box = Box(x - DOT / 2, y - DOT / 2, x + DOT / 2, y + DOT / 2)
        self.made.symbols.append(Symbol(ident, "joint", box))

    # Words

    def _head(self, part: Part) -> _Head:
        return _head(part, HEAD_WIDTH, self.codes)

    def _bar_head(self, part: Part) -> _Head:
        return _head(part, BAR_HEAD_WIDTH, self.codes)

    def _words(self, head: _Head, x: float, bottom: float, of: str, start: bool = False) -> None:
        y = bottom - head.height
        for text, bold in head.lines:
            middle = y + _leading(bold) / 2
            anchor: Anchor = "start" if start else "middle"
            self.made.words.append(Words(text, x, middle, "mark" if bold else "fact", anchor, bold, of))
            y += _leading(bold)

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
            self._row(child, *start, origin, self.columns)
            return
        slot = self.slots[id(child)]
        x = side.x(slot)
        if child.part.is_bar:
            end = x - side.way * BAR_WIDTH / 2
        else:
            shape = symbol_named(child.part.symbol)
            end = x - side.way * (HALF - (shape.left if side.way > 0 else shape.right))
        points = (start, (end, level)) if start[1] == level else (start, (start[0], level), (end, level))
        self._line(child.cable, origin, f"part-{child.part.id}", points)
        near = x - side.way * _reach(child.part, -side.way)
        width = _cable_width(child.cable) / 2 + 5
        begin = start[0] if clear is None else clear + side.way * DOT / 2
        middle = (begin + near) / 2
        self._cable_words(child.cable, middle if abs(near - middle) < 2 * width else near - side.way * width, level)

    def _line(self, cable: Cable, start: str, end: str, points: tuple[Point, ...]) -> None:
        self.made.lines.append(Line(cable.edges, start, end, points, cable.sign, line_width(cable)))

    def _cable_words(self, cable: Cable, x: float, y: float) -> None:
        above, below = _cable_lines(cable)
        lead = SIZES["cable"] * LEADING
        for n, line in enumerate(reversed(above)):
            self.made.words.append(Words(line, x, y - LINE_GAP - n * lead, "cable"))
        for n, line in enumerate(below):
            self.made.words.append(Words(line, x, y + LINE_GAP + 1 + n * lead, "cable"))

    def _notes(self, part: Part, x: float, top: float, towards_right: bool) -> None:
        shape = symbol_named(part.symbol) if not part.is_bar else None
        begin = top - (shape.below if shape else 0.0)
        y = top + 12
        way = 1 if towards_right else -1
        anchor: Anchor = "start" if towards_right else "end"
        for n, note in enumerate(part.notes):
            lines = _note_lines(note)
            self._note_end(part, note, f"note-{part.id}-{n}", x, begin, y)
            for at, text in enumerate(lines):
                words = Words(text, x + way * 12, y + at * NOTE_LINE, "cable", anchor, of=f"part-{part.id}")
                self.made.words.append(words)
            begin = y
            y += len(lines) * NOTE_LINE + 4

    def _note_end(self, part: Part, note: Note, ident: str, x: float, begin: float, y: float) -> None:
        box = Box(x - 7, y - 4, x + 7, y + 4) if note.kind == "bar" else Box(x - 9, y - 6, x + 9, y + 6)
        self.made.symbols.append(Symbol(ident, f"end-{note.kind}", box))
        sign: Sign = "signal" if note.kind == "signal" else "+" if note.kind == "wire" else "-"
        self.made.lines.append(Line(note.edges, f"part-{part.id}", ident, ((x, begin), (x, y)), sign, THIN))

    # Rows

    def _row(self, row: Station, x: float, y: float, origin: str, columns: "_Columns") -> None:
        """Draw a position of a board and all behind it on one line."""
        part = row.part
        ident = f"part-{part.id}"
        box = Box(x + 12, y - ROW_FUSE / 2, x + 12 + ROW_FUSE, y + ROW_FUSE / 2)
        body = (8 / BOX) * ROW_FUSE
        self._line(Cable(), origin, ident, ((x, y), (x + 12 + body, y)))
        self.made.symbols.append(Symbol(ident, "fuse", box, *self._told(part)))
        at = box.x1 + 2
        self._row_text(part.short, at, y, ident, bold=True)
        self._row_text(part.facts[0] if part.facts else "", at + columns.number, y, ident)
        words = at + columns.number + columns.rating
        if self.detailed:
            self._detailed_chain(row, box.x1 - body, words, y, columns.cable)
        else:
            self._row_chain(row, box.x1 - body, words, y, columns.cable)

    def _row_text(self, text: str, x: float, y: float, of: str = "", bold: bool = False) -> None:
        self.made.words.append(Words(text, x, y - LINE_GAP, "mark" if bold else "cable", "start", bold, of))

    def _row_chain(self, station: Station, begin: float, words: float, y: float, least: float) -> None:
        """Draw what is behind a part on one line: a cable, a part, a cable, and so on, and the names."""
        origin, names = f"part-{station.part.id}", list[str]()
        while len(station.children) == 1 and station.children[0].children:
            station = station.children[0]
            end = self._row_cable(station.cable, begin, words, y, 0.0)
            origin = self._row_part(station, origin, begin, end, y)
            names.append(_named(station.part))
            begin, words, least = end + ROW_FUSE - 5, end + ROW_FUSE, 0.0
        if not station.children:
            return
        cable = station.children[0].cable
        end = self._row_cable(cable, begin, words, y, least)
        ends = [one for child in station.children for one in child.all()]
        self._row_end(ends[0].part, cable, origin, begin, end, y)
        names += (_named(one.part) for one in ends)
        for line in wrap(", ".join(filter(None, names)), SIZES["fact"], ROW_NAME, 1):
            self.made.words.append(Words(line, end + 14, y, "fact", "start"))

    def _row_part(self, station: Station, origin: str, begin: float, end: float, y: float) -> str:
        """Draw a part within a row, after its cable, and return its id."""
        ident = f"part-{station.part.id}"
        box = Box(end, y - ROW_FUSE / 2, end + ROW_FUSE, y + ROW_FUSE / 2)
        shape = symbol_named(station.part.symbol)
        self._line(station.cable, origin, ident, ((begin, y), (end + shape.left * ROW_FUSE / BOX, y)))
        self.made.symbols.append(Symbol(ident, station.part.symbol, box, *self._told(station.part, in_row=True)))
        return ident

    def _row_end(self, part: Part, cable: Cable, origin: str, begin: float, end: float, y: float) -> None:
        ident = f"part-{part.id}"
        self._line(cable, origin, ident, ((begin, y), (end, y)))
        box = Box(end, y - 4, end + 9, y + 4)
        self.made.symbols.append(Symbol(ident, "arrow", box, *self._told(part, in_row=True)))

    def _detailed_chain(self, station: Station, begin: float, words: float, y: float, least: float) -> None:
        """Draw what is behind a part on one line, each part with its name, its facts and its return."""
        origin = f"part-{station.part.id}"
        while station.children:
            station = station.children[0]
            end = self._row_cable(station.cable, begin, words, y, least)
            if not station.children:
                self._row_end(station.part, station.cable, origin, begin, end, y)
                self._row_names(station.part, end + 14, y)
                return
            origin = self._row_part(station, origin, begin, end, y)
            text = _row_caption(station.part)
            self.made.words.append(Words(text, end, y + ROW_FUSE / 2 + 4, "fact", "start"))
            self._row_notes(station.part, end + ROW_FUSE / 2, y + ROW_FUSE / 2 + 12, y + 34)
            begin, words = end + ROW_FUSE - 5, end + ROW_FUSE
            told = [text, *(" ".join(note.lines) for note in station.part.notes)]
            least = max(text_width(line, SIZES["cable"]) for line in told)

    def _row_names(self, part: Part, x: float, y: float) -> None:
        self.made.words.append(Words(_named(part), x, y, "mark", "start", bold=True))
        facts = ", ".join(part.facts)
        x_facts = x + text_width(_named(part), SIZES["mark"], True) + 8
        self.made.words.append(Words(facts, x_facts, y, "fact", "start"))
        self._row_notes(part, x + 6, y + 8, y + 20)

    def _row_notes(self, part: Part, x: float, begin: float, y: float) -> None:
        for n, note in enumerate(part.notes):
            ident = f"note-{part.id}-{n}"
            self._note_end(part, note, ident, x, begin, y)
            text = " ".join(note.lines)
            self.made.words.append(Words(text, x + 14, y, "cable", "start"))
            begin, y = y, y + NOTE_LINE

    def _row_cable(self, cable: Cable, begin: float, words: float, y: float, least: float) -> float:
        """Write a cable's words above its line and return where the line ends."""
        text = _row_words(cable)
        self._row_text(text, words + 4, y)
        return max(words + 4 + max(text_width(text, SIZES["cable"]), least) + 6, begin + 40)


@dataclass(frozen=True)
class _Columns:
    """Widths of the columns of a board's rows: number, rating, and the words of a cable to the last part."""

    number: float
    rating: float
    cable: float


def _columns(rows: list[Station]) -> _Columns:
    direct = [row.children[0].cable for row in rows if row.children and not row.children[0].children]
    return _Columns(
        max((text_width(row.part.short, SIZES["mark"], True) for row in rows), default=0.0) + 8,
        max((text_width(fact, SIZES["cable"]) for row in rows for fact in row.part.facts[:1]), default=0.0) + 8,
        max((text_width(_row_words(cable), SIZES["cable"]) for cable in direct), default=0.0),
    )


def _row_below(row: Station) -> float:
    """Return the height that a detailed row takes below its line."""
    notes = [(len(one.part.notes), bool(one.children)) for one in row.all()]
    return max(12.0, *(20.0 + 14 * middle + NOTE_LINE * count for count, middle in notes[1:] or [(0, False)]))


def _row_caption(part: Part) -> str:
    return ", ".join(filter(None, (_named(part), *part.facts)))


def _row_words(cable: Cable) -> str:
    return " ".join(filter(None, (cable.label, cable.measure)))


def _reach(part: Part, way: int) -> float:
    """Return how far the body of a symbol reaches from its middle to one side."""
    if part.is_bar:
        return BAR_WIDTH / 2
    shape = symbol_named(part.symbol)
    inset = shape.right if way > 0 else shape.left
    return max(HALF - inset, 18.0)


def _named(part: Part) -> str:
    return " ".join(filter(None, (part.mark, part.name)))


def _converts(part: Part) -> bool:
    return part.symbol in ("dc-dc", "ac-dc", "inverter", "relay")


def _head(part: Part, width: float, codes: Mapping[str, str]) -> _Head:
    title = " ".join(filter(None, (part.mark, part.name)))
    lines = [(line, True) for line in wrap(title, SIZES["mark"], width, 3, bold=True)]
    code = codes.get(part.id, "")
    facts = [*part.facts, *([code] if code else [])]
    lines += [(line, False) for line in wrap(", ".join(facts), SIZES["fact"], width, 3)]
    return _Head(lines)


def _cable_lines(cable: Cable) -> tuple[list[str], list[str]]:
    """Return the words above and below the line of a cable."""
    above = wrap(cable.label, SIZES["cable"], CABLE_WIDTH, 2)
    whole = cable.measure
    if text_width(whole, SIZES["cable"]) <= CABLE_WIDTH:
        return above, [whole] if whole else []
    return above, [
        *wrap(cable.size, SIZES["cable"], CABLE_WIDTH, 2),
        *wrap(cable.length, SIZES["cable"], CABLE_WIDTH, 1),
    ]


def _cable_width(cable: Cable) -> float:
    return max((text_width(line, SIZES["cable"]) for lines in _cable_lines(cable) for line in lines), default=0.0)


def _note_lines(note: Note) -> list[str]:
    return [line for text in note.lines for line in wrap(text, SIZES["cable"], NOTE_WIDTH, 2)]

