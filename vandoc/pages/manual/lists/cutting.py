"""The lists for cables: cutting, laying, reels, lugs and the stud sizes that are still to be measured."""

from math import isfinite

from vandoc.pages.manual.book import Book
from vandoc.pages.manual.lists.lengths import Lengths
from vandoc.pages.manual.lists.pieces import CutPiece, End
from vandoc.pages.manual.lists.table import Cell, Table, counted
from vandoc.pages.manual.text import say

# What only the bench needs; a page is too narrow for it.
FOR_BENCH = frozenset({"done", "from_sleeve", "to_sleeve", "conduit", "grommet", "label", "length_unit"})


def cutting(pieces: list[CutPiece], lengths: Lengths) -> Table:
    """Return the cutting list as a table, in the order of cutting."""
    columns = (
        *("done", "designation", "cable", "size", "unit", "status", "colour", "laid", "cut", "length_unit"),
        *("from", "from_end", "from_sleeve", "to", "to_end", "to_sleeve", "conduit", "grommet", "label"),
    )
    return Table("cutting", columns, tuple(_cut(piece, lengths) for piece in pieces), FOR_BENCH, lengths.unit)


def _cut(piece: CutPiece, lengths: Lengths) -> tuple[Cell, ...]:
    number, unit = piece.amount
    ends = [cell for end in piece.ends for cell in (end.terminal, lug_of(piece, end), _sleeve(piece, end))]
    return (
        *("", piece.designation, piece.id, number, unit, say(f"list.status.{piece.status}"), piece.colour),
        *(lengths.laid(piece.laid_m), _cut_cell(piece, lengths), lengths.unit),
        *ends,
        *(lengths.laid(piece.laid_m) if piece.conduit else "", _grommet(piece), piece.label),
    )


def _cut_cell(piece: CutPiece, lengths: Lengths) -> Cell:
    return lengths.cut(piece.cut_m) if isfinite(piece.cut_m) else say("list.status.unknown")


def laying(book: Book, pieces: list[CutPiece], lengths: Lengths) -> Table:
    """Return the same cables in the order of laying: by the place where they begin, then where they end."""
    columns = (
        *("done", "from_place", "to_place", "through", "designation", "cable", "size", "unit", "colour"),
        *("laid", "length_unit", "from", "to", "conduit", "grommet", "label"),
    )
    order = [*book.system.places, None]

    def place_of(piece: CutPiece) -> tuple[int, int, str]:
        start, end = piece.ends
        return order.index(start.place), order.index(end.place), piece.id

    rows = []
    for piece in sorted(pieces, key=place_of):
        start, end = piece.ends
        rows.append(
            (
                *("", _place(book, start), _place(book, end), "; ".join(piece.through)),
                *(piece.designation, piece.id, *piece.amount, piece.colour),
                *(lengths.laid(piece.laid_m), lengths.unit, start.terminal, end.terminal),
                *(say("yes") if piece.conduit else "", _grommet(piece), piece.label),
            )
        )
    return Table("laying", columns, tuple(rows), frozenset({"done", "length_unit"}), lengths.unit)


def _place(book: Book, end: End) -> str:
    return book.where(end.place).label if end.place else say("list.vehicle_body")


def _grommet(piece: CutPiece) -> str:
    return say("list.grommet") if piece.grommet else ""


def lug_of(piece: CutPiece, end: End) -> str:
    """Return what is crimped on an end, with the size of the cable."""
    sized = end.stud is not None or end.crimped
    return say("lug.for_cable", end=end.termination, size=piece.size) if sized else end.termination


def _sleeve(piece: CutPiece, end: End) -> str:
    return say("list.sleeve", colour=piece.colour) if end.stud or end.asked else ""


def reels(pieces: list[CutPiece], lengths: Lengths) -> Table:
    """Return the total length required of each size and colour."""
    found: dict[tuple[Cell, str, str], list[float]] = {}
    for piece in pieces:
        if not isfinite(piece.cut_m):
            continue
        found.setdefault((*piece.amount, piece.colour), []).append(lengths.cut(piece.cut_m))
    return Table(
        "reels",
        ("size", "unit", "colour", "lengths", "total", "longest", "length_unit"),
        tuple((*key, len(cuts), round(sum(cuts), 6), max(cuts), lengths.unit) for key, cuts in found.items()),
        frozenset({"length_unit"}),
        lengths.unit,
    )


def lugs(pieces: list[CutPiece]) -> Table:
    """Return the number of ring lugs required of each size of cable and stud."""
    ends = [(*piece.amount, end.stud) for piece in pieces for end in piece.ends if end.stud]
    sizes = [piece.amount for piece in pieces]
    ordered = sorted(ends, key=lambda end: (sizes.index((end[0], end[1])), int(end[2][1:])))
    return Table("lugs", ("size", "unit", "stud", "quantity"), counted(ordered))


def studs(book: Book, pieces: list[CutPiece]) -> Table:
    """Return the terminals whose stud size is not stated, by the place where it is measured."""
    asked = {end.terminal: end for piece in pieces for end in piece.ends if end.asked}
    order = [*book.system.places, None]
    found = sorted(asked.values(), key=lambda end: (order.index(end.place), end.terminal))
    rows = ((_place(book, end), book.name(end.terminal.partition(".")[0]), end.terminal, "") for end in found)
    return Table("studs", ("place", "name", "terminal", "stud"), tuple(rows))
