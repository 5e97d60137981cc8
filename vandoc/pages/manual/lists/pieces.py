"""The cables to cut: each with its two ends, from the wiring of the van."""

from collections.abc import Iterator
from dataclasses import dataclass
from math import inf, isfinite, nan

from vandoc.ground.calc.cutting import cut_length_m, usual_colour
from vandoc.model import equipment as eq
from vandoc.model.chains import legs, links, missing
from vandoc.model.designations import of_conductor
from vandoc.model.wiring import Circuit
from vandoc.pages.manual.book import Book
from vandoc.pages.manual.fuse_looks import BLADES
from vandoc.pages.manual.lists.status import Status, of_cable, run_of
from vandoc.pages.manual.lists.table import Cell
from vandoc.pages.manual.text import say
from vandoc.physics.network.circuits import plain_joins
from vandoc.physics.network.graph import Conductor, owner_of
from vandoc.physics.sizing.results import SizedConductor

OF_SIGNALS = (".ignition", ".sensor")


@dataclass(frozen=True)
class End:
    """One end of a cable.

    Attributes
    ----------
    terminal : str
    place : str or None
        Location of its terminal in the van file; None for the chassis.
    stud : str or None
        Thread of its stud; None if it has none, or if it is not stated.
    termination : str
        What is crimped on, in words.
    crimped : bool
        Whether its size is that of the cable: a ferrule or a receptacle.
    asked : bool
        Whether it is a stud whose size is not stated.
    joint : str or None
        The connector in which it is crimped together with other ends, if it is.
    """

    terminal: str
    place: str | None
    stud: str | None
    termination: str
    crimped: bool = False
    asked: bool = False
    joint: str | None = None


@dataclass(frozen=True)
class CutPiece:
    """A length of cable to cut.

    Attributes
    ----------
    size : str
        As marked on the cable: a number and its unit.
    through : tuple of str
        Locations that it passes on its way.
    """

    id: str
    designation: str
    size: str
    area_mm2: float
    status: Status
    colour: str
    laid_m: float
    cut_m: float
    ends: tuple[End, End]
    through: tuple[str, ...]
    conduit: bool
    grommet: bool

    @property
    def amount(self) -> tuple[Cell, str]:
        """The number and the unit of its size; `2/0` of a gauge is text."""
        if self.status == "unknown":
            return say("list.status.unknown"), ""
        number, _, unit = self.size.partition(" ")
        return (number if "/" in number else float(number)), unit

    @property
    def label(self) -> str:
        """The words of its label."""
        return f"{self.designation} {self.id}".strip()


def cut_pieces(book: Book) -> list[CutPiece]:
    """Return every cable that the workshop installs, by size and colour, the longest first."""
    return book.once(_cut_pieces)


def _cut_pieces(book: Book) -> list[CutPiece]:
    made = [_piece(book, one) for one in book.sizing.conductors.values() if not one.conductor.vehicle]
    made += [piece for circuit in book.system.circuits for piece in _not_stated(book, circuit)]
    return sorted(made, key=_order)


def _order(piece: CutPiece) -> tuple[float, str, str, float, str]:
    """Sort what is not known last, since it is measured before it is cut."""
    area = piece.area_mm2 if isfinite(piece.area_mm2) else inf
    cut = -piece.cut_m if isfinite(piece.cut_m) else inf
    return area, piece.size, piece.colour, cut, piece.id


def colour_of(book: Book, cable: Conductor) -> str:
    """Return the insulation colour of a cable, or the usual one if none is stated."""
    if cable.colour:
        return say(f"conductor_colour.{cable.colour}")
    if cable.signal:
        return say("not_stated")
    usual = usual_colour("negative" if book.network.is_return(cable) else "positive").colour
    return say(f"conductor_colour.{usual}")


def _piece(book: Book, sized: SizedConductor) -> CutPiece:
    cable, run = sized.conductor, run_of(book, sized.conductor)
    ends = (_end(book, cable.start, cable.signal), _end(book, cable.end, cable.signal))
    return CutPiece(
        cable.id,
        of_conductor(book.system, cable.trail, cable.role),
        sized.size if isfinite(sized.area_mm2) else say("list.size_unknown"),
        sized.area_mm2,
        of_cable(book, sized),
        colour_of(book, cable),
        cable.length_m,
        cut_length_m(cable.length_m) if isfinite(cable.length_m) else cable.length_m,
        ends,
        tuple(book.where(place).label for place in cable.places if place not in {end.place for end in ends}),
        bool(run.conduit),
        run.metal == "grommet",
    )


def _not_stated(book: Book, circuit: Circuit) -> Iterator[CutPiece]:
    """Yield the cores that must exist but that the file does not state, named as they will be."""
    pairs, count = set(missing(book.system, circuit)), {"+": len(links(circuit)), "-": len(legs(circuit))}
    for _, start, end, _ in plain_joins(book.system, circuit):
        if (owner_of(start), owner_of(end)) not in pairs:
            continue
        sign = end[-1]
        count[sign] += 1
        ends = (_end(book, start), _end(book, end))
        colour = usual_colour("negative" if sign == "-" else "positive").colour
        yield CutPiece(
            f"{circuit.id} {'return' if sign == '-' else 'supply'} {count[sign]}",
            "",
            say("list.size_unknown"),
            nan,
            "unknown",
            say(f"conductor_colour.{colour}"),
            nan,
            nan,
            ends if sign == "+" else (ends[1], ends[0]),
            (),
            conduit=False,
            grommet=False,
        )


def _end(book: Book, terminal: str, signal: bool = False) -> End:
    owner = owner_of(terminal)
    piece, load = book.system.equipment.get(owner), book.system.loads.get(owner)
    thing = piece or load
    place = thing.place if thing else None
    tab = piece is None or signal or _is_tab(piece, terminal)
    if piece is not None and not tab:
        if piece.stud:
            return End(terminal, place, piece.stud, say("lug.ring", stud=piece.stud))
        return End(terminal, place, None, say("lug.not_stated"), asked=True)
    stated = thing.termination if thing else None
    crimped = stated in ("ferrule", "receptacle", "butt connector")
    within = owner if piece is not None and piece.passes() is not None else terminal
    joint = within if stated == "butt connector" else None
    return End(terminal, place, None, say(f"lug.{stated or 'device'}"), crimped, joint=joint)


def _is_tab(piece: eq.Piece, terminal: str) -> bool:
    """Whether a terminal is not a stud: the output of a blade fuse, or a signal terminal."""
    if (held := piece.positions()) is not None:
        return held.family in BLADES and not terminal.endswith(f".{held.feed}")
    return terminal.endswith(OF_SIGNALS) or (piece.termination is not None and piece.stud is None)
