"""The parts list (equipment, devices, fuses) and the spare fuse list."""

from collections.abc import Iterator, Sequence

from vandoc.ground.data import constant
from vandoc.ground.figures import stated
from vandoc.model.wiring import Load
from vandoc.pages.manual.book import Book
from vandoc.pages.manual.electrician.pieces import stated_facts
from vandoc.pages.manual.fuse_looks import BLADES, body_of
from vandoc.pages.manual.lists.table import Cell, Table, counted
from vandoc.pages.manual.text import enumerated, say
from vandoc.physics.network.graph import FuseLink


def parts(book: Book) -> Table:
    """Return the equipment, devices and fuses that the workshop fits, without those of the base vehicle."""
    rows = [*_equipment(book), *_loads(book), *_fuses(book)]
    return Table("parts", tuple(rows))


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
        return fuse.family not in BLADES, body.looks, body.rating_a, fuse.owner, fuse.position or 0

    return sorted(book.network.fuses.values(), key=order)


def _equipment(book: Book) -> Iterator[tuple[Cell, ...]]:
    rows = []
    for ident, piece in book.system.equipment.items():
        if not piece.of_vehicle():
            rows.append(
                (
                    book.name(ident),
                    piece.words()["name"],
                    "; ".join(f"{term} {value}" for term, value in stated_facts(piece) if value != say("no")),
                    piece.part or "",
                    book.where(piece.place).label,
                )
            )
    yield from counted(rows)


def _loads(book: Book) -> Iterator[tuple[Cell, ...]]:
    for ident, load in book.system.loads.items():
        place = book.where(load.place).label
        yield book.name(ident), say("load_kind"), _taken(load), load.part or "", place, load.count


def _taken(load: Load) -> str:
    if load.power_w is not None:
        return stated(load.power_w, "W")
    return stated(load.current_a, "A") if load.current_a is not None else ""


def _fuses(book: Book) -> Iterator[tuple[Cell, ...]]:
    rows = []
    for fuse in _by_rating(book):
        if fuse.family == "breaker":
            continue  # it is equipment
        body = body_of(book, fuse)
        rating = say("proposed", value=body.rating) if body.proposed else body.rating
        owner = book.name(fuse.owner)
        rows.append((body.looks, body.standard, rating, "", owner))
    yield from counted(rows)
