"""Drawing of single parts, cables and notes onto a sheet."""

from vandoc.pages.diagram.single_line.drawing import (
    LEADING,
    SIZES,
    Anchor,
    Box,
    Drawing,
    Line,
    Point,
    Symbol,
    WordKind,
    Words,
)
from vandoc.pages.diagram.single_line.stations import Cable, Note, Part, Sign
from vandoc.pages.diagram.single_line.wording import Head, cable_lines, hint, leading, note_lines

LINE_GAP = 9.0  # [px] between a line and the middle of the words above or below it
NOTE_LINE = 14.0
DOT = 7.0

# Cross-section up to which a line has a width. [mm²] to [px]
WIDTHS = ((1.5, 1.3), (4.0, 1.8), (10.0, 2.4), (25.0, 3.2), (50.0, 4.2), (float("inf"), 5.2))
THIN = 1.2


def line_width(cable: Cable) -> float:
    """Return the width of the line of a cable. [px]"""
    if cable.sign != "+" or not cable.thickness:
        return THIN
    return next(width for area, width in WIDTHS if cable.thickness <= area)


def ident_of(part: Part) -> str:
    """Return the id of the symbol of a part."""
    return f"part-{part.id}"


class Pen:
    """Draws onto one sheet."""

    def __init__(self) -> None:
        self.made = Drawing()

    def symbol(self, part: Part, kind: str, box: Box, in_row: bool = False) -> str:
        """Draw the symbol of a part and return its id; the place of a part in a row is not shown."""
        place = None if in_row else part.place
        ident = ident_of(part)
        self.made.symbols.append(
            Symbol(ident, kind, box, part.href, hint(part), part.fuse or "", place, not part.here)
        )
        return ident

    def dot(self, ident: str, x: float, y: float) -> None:
        """Draw the dot where cables meet."""
        box = Box(x - DOT / 2, y - DOT / 2, x + DOT / 2, y + DOT / 2)
        self.made.symbols.append(Symbol(ident, "joint", box))

    def words(
        self,
        text: str,
        x: float,
        y: float,
        kind: WordKind = "cable",
        anchor: Anchor = "start",
        of: str = "",
    ) -> None:
        """Write one line."""
        self.made.words.append(Words(text, x, y, kind, anchor, kind == "mark", of))

    def head(self, head: Head, x: float, bottom: float, of: str, anchor: Anchor) -> None:
        """Write the words above a symbol."""
        y = bottom - head.height
        for text, bold in head.lines:
            self.words(text, x, y + leading(bold) / 2, "mark" if bold else "fact", anchor, of)
            y += leading(bold)

    def line(self, cable: Cable, start: str, end: str, points: tuple[Point, ...]) -> None:
        """Draw a cable between two symbols."""
        self.made.lines.append(Line(cable.edges, start, end, points, cable.sign, line_width(cable)))

    def cable_words(self, cable: Cable, x: float, y: float) -> None:
        """Write the words of a cable above and below its line."""
        above, below = cable_lines(cable)
        lead = SIZES["cable"] * LEADING
        for n, line in enumerate(reversed(above)):
            self.words(line, x, y - LINE_GAP - n * lead, anchor="middle")
        for n, line in enumerate(below):
            self.words(line, x, y + LINE_GAP + 1 + n * lead, anchor="middle")

    def notes(self, part: Part, x: float, begin: float, y: float, towards_right: bool = True) -> None:
        """Draw the notes of a part below it, one below the other."""
        way = 1 if towards_right else -1
        anchor: Anchor = "start" if towards_right else "end"
        for n, note in enumerate(part.notes):
            lines = note_lines(note)
            self._end(part, note, n, x, begin, y)
            for at, text in enumerate(lines):
                self.words(text, x + way * 12, y + at * NOTE_LINE, "cable", anchor, ident_of(part))
            begin = y
            y += len(lines) * NOTE_LINE + 4

    def notes_on_one_line(self, part: Part, x: float, begin: float, y: float) -> None:
        """Draw the notes of a part in a row, each on one line."""
        for n, note in enumerate(part.notes):
            self._end(part, note, n, x, begin, y)
            self.words(" ".join(note.lines), x + 14, y)
            begin, y = y, y + NOTE_LINE

    def _end(self, part: Part, note: Note, number: int, x: float, begin: float, y: float) -> None:
        box = Box(x - 7, y - 4, x + 7, y + 4) if note.kind == "bar" else Box(x - 9, y - 6, x + 9, y + 6)
        ident = f"note-{part.id}-{number}"
        self.made.symbols.append(Symbol(ident, f"end-{note.kind}", box))
        sign: Sign = "signal" if note.kind == "signal" else "+" if note.kind == "wire" else "-"
        points = ((x, begin), (x, y))
        self.made.lines.append(Line(note.edges, ident_of(part), ident, points, sign, THIN))
