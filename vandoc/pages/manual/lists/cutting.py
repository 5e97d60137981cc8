"""The cutting list: cables by reel, and the terminal lugs for their ends."""

from dataclasses import dataclass

from vandoc.ground.calc.cutting import cut_length_m, usual_colour
from vandoc.model import equipment as eq
from vandoc.pages.manual.book import Book
from vandoc.pages.manual.fuse_looks import BLADES
from vandoc.pages.manual.lists.table import Table, counted
from vandoc.pages.manual.text import say
from vandoc.physics.network.graph import Conductor, owner_of
from vandoc.physics.sizing.results import SizedConductor


@dataclass(frozen=True)
class Piece:
    """A length of cable to cut; `lugs` are the terminations of its two ends."""

    id: str
    size: str
    area_mm2: float
    colour: str
    proposed: bool
    laid_m: float
    cut_m: float
    ends: tuple[str, str]
    lugs: tuple[str, str]
    studs: tuple[str | None, str | None]


def cut_pieces(book: Book) -> list[Piece]:
    """Return every cable that the workshop installs, by size and colour."""
    made = [_piece(book, one) for one in book.sizing.conductors.values() if not one.conductor.vehicle]
    return sorted(made, key=lambda piece: (piece.area_mm2, piece.size, piece.colour, piece.id))


def colour_of(book: Book, cable: Conductor) -> str:
    """Return the insulation colour of a cable, or the usual one if none is stated."""
    if cable.colour:
        return say(f"conductor_colour.{cable.colour}")
    if cable.signal:
        return say("not_stated")
    usual = usual_colour("negative" if book.network.is_return(cable) else "positive").colour
    return say(f"conductor_colour.{usual}")


def cutting(pieces: list[Piece]) -> Table:
    """Return the cutting list as a table."""
    return Table(
        "cutting",
        tuple(
            (
                piece.id,
                say("proposed", value=piece.size) if piece.proposed else piece.size,
                piece.colour,
                piece.laid_m,
                piece.cut_m,
                piece.ends[0],
                piece.lugs[0],
                piece.ends[1],
                piece.lugs[1],
            )
            for piece in pieces
        ),
    )


def reels(pieces: list[Piece]) -> Table:
    """Return the total length required of each size and colour."""
    found: dict[tuple[str, str], list[float]] = {}
    for piece in pieces:
        found.setdefault((piece.size, piece.colour), []).append(piece.cut_m)
    return Table(
        "reels",
        tuple((*key, len(cuts), round(sum(cuts), 6), max(cuts)) for key, cuts in found.items()),
    )


def lugs(pieces: list[Piece]) -> Table:
    """Return the number of terminal lugs required of each size."""
    ends = [(piece.size, stud) for piece in pieces for stud in piece.studs if stud]
    ordered = sorted(ends, key=lambda end: ([p.size for p in pieces].index(end[0]), int(end[1][1:])))
    return Table("lugs", counted(ordered))


def _piece(book: Book, sized: SizedConductor) -> Piece:
    cable = sized.conductor
    studs = (_stud(book, cable.start), _stud(book, cable.end))
    return Piece(
        cable.id,
        sized.size,
        sized.area_mm2,
        colour_of(book, cable),
        sized.proposed,
        cable.length_m,
        cut_length_m(cable.length_m),
        (cable.start, cable.end),
        (_lug(book, cable.start, studs[0]), _lug(book, cable.end, studs[1])),
        studs,
    )


def _stud(book: Book, terminal: str) -> str | None:
    piece = book.system.equipment.get(owner_of(terminal))
    if piece is None or _is_tab(piece, terminal):
        return None
    return piece.stud


def _is_tab(piece: eq.Piece, terminal: str) -> bool:
    """Whether a terminal is not a stud: the output of a blade fuse, or a signal terminal."""
    if (held := piece.positions()) is not None:
        return held.family in BLADES and not terminal.endswith(f".{held.feed}")
    return terminal.endswith((".ignition", ".sensor"))


def _lug(book: Book, terminal: str, stud: str | None) -> str:
    if stud:
        return say("lug.ring", stud=stud)
    piece = book.system.equipment.get(owner_of(terminal))
    return say("lug.device" if piece is None or _is_tab(piece, terminal) else "lug.not_stated")
