"""A fuse board as its owner sees it: positions as cells with large numbers, with those to find filled."""

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from xml.etree.ElementTree import Element

from vandoc.pages.diagram.svg import (
    ACCENT,
    HAIRLINE,
    INK,
    PAPER,
    clean,
    document,
    element,
    text_block,
    text_width,
    wrap,
)
from vandoc.pages.diagram.words import say

WIDTH = 320.0  # [px] of a phone screen, wide enough for a board of up to seven columns
NARROWEST = 44.0  # [px] of the smallest cell with room for number, rating and colour
WIDEST = 104.0  # [px]
ROOMY = 76.0  # [px] from which a cell also names its loads
SMALL = 10.5  # [px] of the text in a cell
MARGIN = 4.0  # [px]


@dataclass(frozen=True)
class Cell:
    """One position of a fuse board.

    Parameters
    ----------
    position : int
        Number on the board, from 1.
    rating_text : str
        Such as "10 A"; empty for a position without a fuse.
    colour_words : str or None
        The colour of the fuse in words; None if its type is not colour-coded.
    swatch : str or None
        The same colour for the small swatch, as "#rrggbb".
    serves : str
        What stops when it blows, in the owner's words.
    """

    position: int
    rating_text: str
    colour_words: str | None = None
    swatch: str | None = None
    serves: str = ""


def fuse_board(
    ident: str, label: str, rows: int, columns: int, cells: Sequence[Cell], sought: Collection[int] = ()
) -> str:
    """Return the SVG of a fuse board whose positions are numbered along its rows.

    Parameters
    ----------
    label : str
        Name of the board.
    rows, columns : int
        Size of the board, from 1; 1 by 1 is a single fuse holder.
    cells : sequence of Cell
        The positions in use, in any order; all others are drawn without a fuse.
    sought : collection of int
        Positions to draw filled; they are described again below the board.

    Raises
    ------
    ValueError
        If a position is not on the board or is given twice.
    """
    filled = _by_position(rows, columns, cells, sought)
    width = min(max((WIDTH - 2 * MARGIN) / columns, NARROWEST), WIDEST)
    roomy = width >= ROOMY
    height = _cell_height(filled.values(), width, roomy)
    total = max(width * columns + 2 * MARGIN, WIDTH)
    left = MARGIN
    drawn: list[Element] = []
    for position in range(1, rows * columns + 1):
        row, column = divmod(position - 1, columns)
        cell = filled.get(position, Cell(position, ""))
        x, y = left + column * width, MARGIN + row * height
        drawn.append(_cell(cell, x, y, width, height, position in sought, roomy))
    frame = element(
        "rect",
        x=left,
        y=MARGIN,
        width=width * columns,
        height=height * rows,
        rx=1.5,
        stroke=INK,
        stroke_width=1.8,
    )
    notes, bottom = _notes(filled, sought, MARGIN + height * rows + 22)
    return document(
        ident,
        say("board.title", label=clean(label)),
        "; ".join(board_text(rows, columns, cells, sought)),
        total,
        bottom + MARGIN,
        *drawn,
        frame,
        *notes,
    )


def board_text(rows: int, columns: int, cells: Sequence[Cell], sought: Collection[int] = ()) -> list[str]:
    """Return a line for each position in use, those to find first, then the positions without a fuse."""
    filled = _by_position(rows, columns, cells, sought)
    used = sorted((cell for cell in filled.values() if cell.rating_text), key=lambda cell: cell.position)
    lines = [_line(cell) for cell in sorted(used, key=lambda cell: cell.position not in sought)]
    empty = sorted(set(range(1, rows * columns + 1)) - {cell.position for cell in used})
    if empty:
        lines.append(say("board.position", position=_ranges(empty), facts=say("board.spare")))
    return lines


def _line(cell: Cell) -> str:
    facts = [cell.rating_text, cell.colour_words or "", cell.serves]
    shown = ", ".join(clean(fact) for fact in facts if fact)
    return say("board.position", position=cell.position, facts=shown or say("board.spare"))


def _ranges(numbers: Sequence[int]) -> str:
    """Return ascending numbers as ranges, such as "3, 7 to 12"."""
    spans: list[list[int]] = []
    for number in numbers:
        if spans and number == spans[-1][-1] + 1:
            spans[-1].append(number)
        else:
            spans.append([number])
    return ", ".join(
        say("board.range", first=span[0], last=span[-1]) if len(span) > 2 else ", ".join(map(str, span))
        for span in spans
    )


def _by_position(rows: int, columns: int, cells: Sequence[Cell], sought: Collection[int]) -> dict[int, Cell]:
    if rows < 1 or columns < 1:
        raise ValueError(f"a board has at least one row and one column, got {rows} by {columns}")
    filled: dict[int, Cell] = {}
    for cell in cells:
        if cell.position in filled:
            raise ValueError(f"position {cell.position} is given twice")
        filled[cell.position] = cell
    off = sorted(position for position in {*filled, *sought} if not 1 <= position <= rows * columns)
    if off:
        raise ValueError(f"not a position of a board of {rows} by {columns}: {', '.join(map(str, off))}")
    return filled


def _serves(cell: Cell, width: float) -> list[str]:
    return wrap(cell.serves, SMALL + 0.5, width - 8, 3)


def _colour(cell: Cell, width: float) -> list[str]:
    return wrap(cell.colour_words or "", SMALL, width - 4, 2)


def _cell_height(cells: Collection[Cell], width: float, roomy: bool) -> float:
    colours = max((len(_colour(cell, width)) for cell in cells), default=0)
    words = max((len(_serves(cell, width)) for cell in cells), default=0) if roomy else 0
    return 52.0 + (14.0 + colours * 12.0 if colours else 0.0) + words * 13.0 + (4.0 if words else 0.0)


def _cell(cell: Cell, x: float, y: float, width: float, height: float, wanted: bool, roomy: bool) -> Element:
    middle = x + width / 2
    ink = PAPER if wanted else INK
    empty = not cell.rating_text
    kind = "position" + (" sought" if wanted else "") + (" empty" if empty else "")
    box = element(
        "rect", x=x, y=y, width=width, height=height, fill=ACCENT if wanted else "none", stroke=HAIRLINE
    )
    digits = str(cell.position)
    size = min(24.0, 24.0 * (width - 8) / text_width(digits, 24, bold=True))
    parts = [
        element("title", _line(cell)),
        box,
        text_block(
            *(middle, y + 26, [digits], size, "middle"),
            fill=ink,
            font_weight="bold",
            opacity=0.45 if empty and not wanted else 1.0,
            class_="number",
        ),
    ]
    if empty:
        parts.append(
            text_block(middle, y + 44, [say("board.empty")], 11.5, "middle", fill=ink, class_="muted")
        )
        return element("g", *parts, class_=kind)
    rating = wrap(cell.rating_text, 13, width - 4, 1)
    parts.append(text_block(middle, y + 44, rating, 13, "middle", fill=ink, class_="rating"))
    below = y + 50
    words = _colour(cell, width)
    if words:
        if cell.swatch:
            parts.append(_swatch(cell.swatch, middle, below))
        parts.append(text_block(middle, below + 21, words, SMALL, "middle", 12 / SMALL, fill=ink))
    if roomy and (serves := _serves(cell, width)):
        top = below + (14 + 12 * len(words) if words else 0) + 13
        size = SMALL + 0.5
        parts.append(text_block(middle, top, serves, size, "middle", 13 / size, fill=ink, class_="label"))
    return element("g", *parts, class_=kind)


def _swatch(colour: str, middle: float, top: float) -> Element:
    patch = element(
        "rect", x=middle - 11, y=top, width=22, height=9, rx=2, fill=colour, stroke=INK, stroke_width=0.8
    )
    return element("g", patch, class_="swatch")


def _notes(filled: dict[int, Cell], sought: Collection[int], top: float) -> tuple[list[Element], float]:
    """Return the lines below the board that describe the positions to find, and where they end. [px]"""
    notes, size = [], 15.0
    for position in sorted(sought):
        cell = filled.get(position, Cell(position, ""))
        lines = wrap(_line(cell), size, WIDTH - 12, 4, bold=True)
        notes.append(
            text_block(6, top, lines, size, "start", fill=ACCENT, font_weight="bold", class_="wanted")
        )
        top += len(lines) * size * 1.2 + 6
    return notes, top - 20 if not sought else top - 12
