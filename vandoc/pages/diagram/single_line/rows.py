"""A position of a board and all behind it on one line: short on an overview, in detail on its own sheet."""

from dataclasses import dataclass

from vandoc.pages.diagram.single_line.drawing import SIZES, Box
from vandoc.pages.diagram.single_line.pen import LINE_GAP, NOTE_LINE, Pen, ident_of
from vandoc.pages.diagram.single_line.stations import Cable, Part, Station
from vandoc.pages.diagram.single_line.wording import cable_text, hint, named, on_one_line
from vandoc.pages.diagram.svg import text_width, wrap
from vandoc.pages.diagram.symbols import BOX, symbol_named

ABOVE, BELOW = 17.0, 8.0  # [px] that a short row takes above and below its line
SIDE = 28.0  # of a symbol in a row
BODY = 8 / BOX * SIDE  # from the side of a fuse's box to its body
NAMES = 230.0  # of the names at the end of a short row


@dataclass(frozen=True)
class Columns:
    """Widths of the columns of a board's rows: number, rating, and the words of a cable to the last part."""

    number: float
    rating: float
    cable: float

    @classmethod
    def of(cls, stations: list[Station]) -> "Columns":
        """Return the widths for the rows among some stations."""
        rows = [station for station in stations if station.row]
        direct = [row.children[0].cable for row in rows if row.children and not row.children[0].children]
        numbers = [text_width(row.part.short, SIZES["mark"], True) for row in rows]
        ratings = [cable_text(fact) for row in rows for fact in row.part.facts[:1]]
        cables = [cable_text(on_one_line(cable)) for cable in direct]
        return cls(max(numbers, default=0.0) + 8, max(ratings, default=0.0) + 8, max(cables, default=0.0))


def extent(row: Station, detailed: bool) -> tuple[float, float]:
    """Return the heights that a row takes above and below its line."""
    if not detailed:
        return ABOVE, BELOW
    parts = [one for one in row.all() if one is not row]
    below = [20.0 + 14 * bool(one.children) + NOTE_LINE * len(one.part.notes) for one in parts]
    return ABOVE, max([12.0, *below])


class Rows:
    """Draws rows with a pen."""

    def __init__(self, pen: Pen, detailed: bool) -> None:
        self.pen, self.detailed = pen, detailed

    def draw(self, row: Station, x: float, y: float, origin: str, columns: Columns) -> None:
        """Draw a row that begins at a bar."""
        box = Box(x + 12, y - SIDE / 2, x + 12 + SIDE, y + SIDE / 2)
        ident = self.pen.symbol(row.part, "fuse", box)
        self.pen.line(Cable(), origin, ident, ((x, y), (box.x0 + BODY, y)))
        at = box.x1 + 2
        self.pen.words(row.part.short, at, y - LINE_GAP, "mark", of=ident)
        for fact in row.part.facts[:1]:
            self.pen.words(fact, at + columns.number, y - LINE_GAP, of=ident)
        words = at + columns.number + columns.rating
        draw = self._in_detail if self.detailed else self._in_short
        draw(row, box.x1 - BODY, words, y, columns.cable)

    def _in_short(self, station: Station, begin: float, words: float, y: float, least: float) -> None:
        """Draw a cable, a part, a cable, and so on, and all names at the end."""
        origin, names = ident_of(station.part), list[str]()
        while len(station.children) == 1 and station.children[0].children:
            station = station.children[0]
            end = self._cable(station.cable, begin, words, y, 0.0)
            origin = self._part(station, origin, begin, end, y)
            names.append(named(station.part))
            begin, words, least = end + SIDE - 5, end + SIDE, 0.0
        if not station.children:
            return
        end = self._cable(station.children[0].cable, begin, words, y, least)
        ends = [one for child in station.children for one in child.all()]
        self._end(ends[0].part, station.children[0].cable, origin, begin, end, y)
        names += (named(one.part) for one in ends)
        for line in wrap(", ".join(filter(None, names)), SIZES["fact"], NAMES, 1):
            self.pen.words(line, end + 14, y, "fact")

    def _in_detail(self, station: Station, begin: float, words: float, y: float, least: float) -> None:
        """Draw each part with its name, its facts and its return."""
        origin = ident_of(station.part)
        while station.children:
            station = station.children[0]
            end = self._cable(station.cable, begin, words, y, least)
            if not station.children:
                self._end(station.part, station.cable, origin, begin, end, y)
                self._last(station.part, end + 14, y)
                return
            origin = self._part(station, origin, begin, end, y)
            self.pen.words(hint(station.part), end, y + SIDE / 2 + 4, "fact")
            self.pen.notes_on_one_line(station.part, end + SIDE / 2, y + SIDE / 2 + 12, y + 34)
            begin, words = end + SIDE - 5, end + SIDE
            told = [hint(station.part), *(" ".join(note.lines) for note in station.part.notes)]
            least = max(map(cable_text, told))

    def _part(self, station: Station, origin: str, begin: float, end: float, y: float) -> str:
        """Draw a part after its cable, and return its id."""
        box = Box(end, y - SIDE / 2, end + SIDE, y + SIDE / 2)
        ident = self.pen.symbol(station.part, station.part.symbol, box, in_row=True)
        inset = symbol_named(station.part.symbol).left * SIDE / BOX
        self.pen.line(station.cable, origin, ident, ((begin, y), (end + inset, y)))
        return ident

    def _end(self, part: Part, cable: Cable, origin: str, begin: float, end: float, y: float) -> None:
        ident = self.pen.symbol(part, "arrow", Box(end, y - 4, end + 9, y + 4), in_row=True)
        self.pen.line(cable, origin, ident, ((begin, y), (end, y)))

    def _last(self, part: Part, x: float, y: float) -> None:
        self.pen.words(named(part), x, y, "mark")
        after = x + text_width(named(part), SIZES["mark"], True) + 8
        self.pen.words(", ".join(part.facts), after, y, "fact")
        self.pen.notes_on_one_line(part, x + 6, y + 8, y + 20)

    def _cable(self, cable: Cable, begin: float, words: float, y: float, least: float) -> float:
        """Write a cable's words above its line and return where the line ends."""
        text = on_one_line(cable)
        self.pen.words(text, words + 4, y - LINE_GAP)
        return max(words + 4 + max(cable_text(text), least) + 6, begin + 40)
