"""A sheet with all its positions: symbols, lines, words and tinted areas. Lengths in px, y downwards."""

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from typing import Literal

from vandoc.pages.diagram.single_line.stations import Sign
from vandoc.pages.diagram.svg import text_width

Point = tuple[float, float]
Anchor = Literal["start", "middle", "end"]
WordKind = Literal["mark", "fact", "cable", "zone"]

SIZES: dict[WordKind, float] = {"mark": 13.0, "fact": 12.0, "cable": 12.0, "zone": 13.0}
LEADING = 1.18


@dataclass(frozen=True)
class Box:
    """An upright rectangle."""

    x0: float
    y0: float
    x1: float
    y1: float

    def around(self, other: "Box") -> "Box":
        """Return the smallest box that holds both."""
        return Box(
            min(self.x0, other.x0), min(self.y0, other.y0), max(self.x1, other.x1), max(self.y1, other.y1)
        )

    def grown(self, by: float) -> "Box":
        """Return the box with a margin on all sides."""
        return Box(self.x0 - by, self.y0 - by, self.x1 + by, self.y1 + by)

    def meets(self, other: "Box") -> bool:
        """Whether the two have a point in common."""
        return self.x0 < other.x1 and other.x0 < self.x1 and self.y0 < other.y1 and other.y0 < self.y1


@dataclass(frozen=True)
class Symbol:
    """A symbol, whose box the drawing fills: a part, a dot where cables meet, the end of a note.

    `id` is its own on the sheet. `again` marks what an earlier sheet shows already.
    """

    id: str
    kind: str
    box: Box
    href: str | None = None
    hint: str = ""
    fuse: str = ""
    place: str | None = None
    away: bool = False
    again: bool = False


@dataclass(frozen=True)
class Line:
    """A conductor, or several in parallel, along level and upright runs between two symbols."""

    edges: tuple[str, ...]
    start: str
    end: str
    points: tuple[Point, ...]
    sign: Sign
    width: float
    again: bool = False


@dataclass(frozen=True)
class Words:
    """One line of text; y is its middle. `of` is the symbol that it belongs to, empty along a cable."""

    text: str
    x: float
    y: float
    kind: WordKind
    anchor: Anchor = "middle"
    bold: bool = False
    of: str = ""

    @property
    def box(self) -> Box:
        """The place that it takes, by a generous estimate of its width."""
        size = SIZES[self.kind]
        width = text_width(self.text, size, self.bold)
        left = {"start": self.x, "middle": self.x - width / 2, "end": self.x - width}[self.anchor]
        return Box(left, self.y - size * LEADING / 2, left + width, self.y + size * LEADING / 2)


@dataclass(frozen=True)
class Area:
    """A tinted area with the name of its place, and the ids of the symbols in it."""

    place: str
    caption: Words
    box: Box
    parts: frozenset[str]


@dataclass
class Drawing:
    """Everything on a sheet inside its frame."""

    symbols: list[Symbol] = field(default_factory=list)
    lines: list[Line] = field(default_factory=list)
    words: list[Words] = field(default_factory=list)
    areas: list[Area] = field(default_factory=list)

    @property
    def box(self) -> Box:
        """The extent of all of it."""
        boxes = [one.box for one in self.symbols]
        boxes += [words.box for words in self.words]
        boxes += [area.box for area in self.areas]
        boxes += [Box(x, y, x, y) for line in self.lines for x, y in line.points]
        whole = boxes[0] if boxes else Box(0, 0, 0, 0)
        for box in boxes:
            whole = whole.around(box)
        return whole

    def moved(self, dx: float, dy: float) -> "Drawing":
        """Return the same further right and further down."""

        def shift(box: Box) -> Box:
            return Box(box.x0 + dx, box.y0 + dy, box.x1 + dx, box.y1 + dy)

        return Drawing(
            [replace(one, box=shift(one.box)) for one in self.symbols],
            [replace(one, points=tuple((x + dx, y + dy) for x, y in one.points)) for one in self.lines],
            [replace(one, x=one.x + dx, y=one.y + dy) for one in self.words],
            [
                replace(
                    one,
                    box=shift(one.box),
                    caption=replace(one.caption, x=one.caption.x + dx, y=one.caption.y + dy),
                )
                for one in self.areas
            ],
        )

    def add(self, others: "Sequence[Drawing]") -> None:
        """Put other drawings onto this one, as they lie."""
        for other in others:
            self.symbols += other.symbols
            self.lines += other.lines
            self.words += other.words
            self.areas += other.areas
