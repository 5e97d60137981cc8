"""The parts list (equipment, devices, fuses, accessories) and the spare fuse list."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from math import inf

from vandoc.ground.data import constant
from vandoc.ground.figures import stated
from vandoc.ground.unknown import cannot_tell
from vandoc.model.designations import of_fuse
from vandoc.model.fitted import Bought
from vandoc.model.wiring import Load
from vandoc.pages.manual.book import Book
from vandoc.pages.manual.electrician.pieces import stated_facts
from vandoc.pages.manual.fuse_looks import BLADES, body_of
from vandoc.pages.manual.lists.cutting import lug_of
from vandoc.pages.manual.lists.lengths import Lengths
from vandoc.pages.manual.lists.pieces import CutPiece
from vandoc.pages.manual.lists.status import of_fuse as fuse_status
from vandoc.pages.manual.lists.table import Cell, Table
from vandoc.pages.manual.text import enumerated, say
from vandoc.physics.network.graph import FuseLink

COLUMNS = (
    "designation",
    "name",
    "kind",
    "specification",
    "part_sheet",
    "place",
    "quantity",
    "unit",
    "status",
)
BOUGHT = ("maker", "type", "serial", "batch", "price", "total", "currency")


NOTHING = Bought()


@dataclass(frozen=True)
class Part:
    """A row of the parts list: what is fitted, how many of it, and what the workshop bought.

    `status` says of a fuse whether its rating is fitted, calculated or unknown.
    """

    designation: str
    name: str
    kind: str
    specification: str
    sheet: str
    place: str
    quantity: float = 1
    unit: str = ""
    status: str = ""
    bought: Bought = NOTHING

    @property
    def cells(self) -> tuple[Cell, ...]:
        """The cells of the list that is published."""
        return (
            *(self.designation, self.name, self.kind, self.specification, self.sheet, self.place),
            *(self.quantity, self.unit, self.status),
        )


def parts(book: Book, pieces: list[CutPiece], lengths: Lengths) -> Table:
    """Return the list without anything that only the workshop may know."""
    return Table("parts", COLUMNS, tuple(part.cells for part in _parts(book, pieces, lengths)))


def purchases(book: Book, pieces: list[CutPiece], lengths: Lengths) -> Table:
    """Return the list with maker, type, serial number, batch and price; for the workshop alone."""
    found = _parts(book, pieces, lengths)
    rows = tuple((*part.cells, *_bought(part)) for part in found)
    blank = ("",) * (len(COLUMNS) - 2)
    totals = tuple(
        (say("list.total"), *blank, "", *("", "", "", "", ""), f"{total:.2f}", currency)
        for currency, total in _totals(found).items()
    )
    return Table("parts", (*COLUMNS, *BOUGHT), (*rows, *totals))


def _parts(book: Book, pieces: list[CutPiece], lengths: Lengths) -> list[Part]:
    """Return the parts without those of the base vehicle; what is alike is one row."""
    found: dict[Part, float] = {}
    for part in (*_equipment(book), *_loads(book), *_fuses(book), *_accessories(pieces, lengths)):
        alike = replace(part, quantity=1)
        found[alike] = round(found.get(alike, 0) + part.quantity, 6)
    return [replace(part, quantity=quantity) for part, quantity in found.items()]


def _bought(part: Part) -> tuple[Cell, ...]:
    bought = part.bought
    stated_texts = (bought.maker, bought.type, bought.serial, bought.batch)
    each, currency = _price(bought)
    total = "" if each is None else f"{each * Decimal(str(part.quantity)):.2f}"
    return (*(text or "" for text in stated_texts), "" if each is None else f"{each:.2f}", total, currency)


def _price(bought: Bought) -> tuple[Decimal | None, str]:
    if bought.price is None:
        return None, ""
    amount, _, currency = bought.price.partition(" ")
    return Decimal(amount), currency


def _totals(found: Sequence[Part]) -> dict[str, Decimal]:
    """Return the sum of the prices that are stated, for each currency."""
    totals: dict[str, Decimal] = {}
    for part in found:
        each, currency = _price(part.bought)
        if each is not None:
            totals[currency] = totals.get(currency, Decimal(0)) + each * Decimal(str(part.quantity))
    return totals


def _of_workshop(thing: Bought) -> Bought:
    return Bought.model_construct(**{name: getattr(thing, name) for name in Bought.model_fields})


def _equipment(book: Book) -> Iterator[Part]:
    for ident, piece in book.system.equipment.items():
        if piece.of_vehicle():
            continue
        protects = piece.protects()
        holder = protects is not None and protects.family != "breaker"
        stated_here = (f"{term} {value}" for term, value in stated_facts(piece) if _told(term, value))
        yield Part(
            piece.designation or "",
            book.name(ident),
            say("list.holder") if holder else piece.words()["name"],
            "; ".join(stated_here),
            piece.part or "",
            book.where(piece.place).label,
            piece.number(),
            bought=_of_workshop(piece),
        )


def _told(term: str, value: str) -> bool:
    """Whether a fact belongs into the specification: the designation has a column of its own."""
    return value != say("no") and term != say("field.designation")


def _loads(book: Book) -> Iterator[Part]:
    for ident, load in book.system.loads.items():
        yield Part(
            load.designation or "",
            book.name(ident),
            say("load_kind"),
            _taken(load),
            load.part or "",
            book.where(load.place).label,
            load.count,
            bought=_of_workshop(load),
        )


def _taken(load: Load) -> str:
    if load.power_w is not None:
        return stated(load.power_w, "W")
    return stated(load.current_a, "A") if load.current_a is not None else ""


def _fuses(book: Book) -> Iterator[Part]:
    for fuse in _by_rating(book):
        if fuse.family == "breaker":
            continue  # it is equipment
        body = body_of(book, fuse)
        designation = of_fuse(book.system, fuse.owner, fuse.position) if fuse.position else ""
        status = say(f"list.status.{fuse_status(book, book.sizing.fuses[fuse.id])}")
        place = book.name(fuse.owner)
        yield Part(designation, body.looks, body.standard, body.rating, "", place, status=status)


def _accessories(pieces: list[CutPiece], lengths: Lengths) -> Iterator[Part]:
    """Yield lugs, ferrules, sleeves, grommets, conduit and labels of the cables."""
    kind, ends = say("list.accessory.kind"), [(piece, end) for piece in pieces for end in piece.ends]
    joined, terminations = set[str](), list[Part]()
    for piece, end in reversed(ends):  # the largest cable of a connector decides which one it is
        if end.joint is not None and end.joint in joined:
            continue
        if end.joint is not None:
            joined.add(end.joint)
        if end.stud or end.crimped:
            terminations.append(_accessory(lug_of(piece, end), say("list.accessory.termination")))
    yield from reversed(terminations)
    for piece, end in ends:
        if end.stud or end.asked:
            specification = say("lug.sleeve", size=piece.size, colour=piece.colour)
            yield _accessory(say("list.accessory.sleeve"), kind, specification)
    for piece in pieces:
        if piece.grommet:
            yield _accessory(say("list.accessory.grommet"), kind, say("lug.passes", size=piece.size))
    total = sum(piece.laid_m for piece in pieces if piece.conduit)
    length = lengths.laid(total)
    if total and not isinstance(length, str):
        made = _accessory(say("list.accessory.conduit"), kind)
        yield replace(made, quantity=length, unit=lengths.unit)
    if pieces:
        made = _accessory(say("list.accessory.label"), kind)
        yield replace(made, quantity=2 * len(pieces))


def _accessory(name: str, kind: str, specification: str = "") -> Part:
    return Part("", name, kind, specification, "", "")


def spares(book: Book) -> Table:
    """Return every type of fuse in use, with the number of spares to carry."""
    found: dict[tuple[str, float, str, bool], list[FuseLink]] = {}
    for fuse in _by_rating(book):
        if fuse.family == "breaker":
            continue  # it is reset
        body = body_of(book, fuse)
        kind = say("fuse_kind", looks=body.looks, standard=body.standard)
        key = (kind, body.rating_a, body.colour or "", fuse.family in BLADES)
        found.setdefault(key, []).append(fuse)
    return Table(
        "spares",
        ("kind", "rating_a", "colour", "in_use", "carry", "where"),
        tuple(
            (kind, rating_a, colour, len(fuses), _to_carry(blade), _where(book, fuses))
            for (kind, rating_a, colour, blade), fuses in found.items()
        ),
    )


def _where(book: Book, fuses: Sequence[FuseLink]) -> str:
    """The positions of fuses: `fuses 1 and 3 of the main fuse box; driving charger fuse`."""
    found = []
    for owner in dict.fromkeys(fuse.owner for fuse in fuses):
        board = book.name(owner)
        positions = [str(fuse.position) for fuse in fuses if fuse.owner == owner and fuse.position]
        if not positions:
            found.append(board)
        elif len(positions) == 1:
            found.append(say("fuse.short_on", position=positions[0], board=board))
        else:
            found.append(say("fuse.several_on", positions=enumerated(positions), board=board))
    return "; ".join(found)


def _to_carry(blade: bool) -> int:
    return int(constant(f"spare {'blade' if blade else 'bolted'} fuses").value)


def _by_rating(book: Book) -> list[FuseLink]:
    """Return the fuses, blade fuses first, each family by rating and then by position."""

    def order(fuse: FuseLink) -> tuple[bool, str, float, str, int]:
        body = body_of(book, fuse)
        rating_a = inf if cannot_tell(body.rating_a) else body.rating_a
        return fuse.family not in BLADES, body.looks, rating_a, fuse.owner, fuse.position or 0

    return sorted(book.network.fuses.values(), key=order)
