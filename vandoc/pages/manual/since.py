"""Changes that concern the owner since each archived revision, for readers of an old printed code."""

from collections.abc import Iterator, Mapping

from vandoc.analysis import Van
from vandoc.ground.errors import SystemFileError
from vandoc.ground.figures import quantity
from vandoc.judgement.history import stale_labels
from vandoc.judgement.history.labels import Label
from vandoc.model import equipment as eq
from vandoc.pages.manual.book import Book
from vandoc.pages.manual.text import clean, say, upper_first

MAX_CHANGES = 2  # changes listed in one line
OPERATED = (eq.Isolator, eq.Inverter, eq.Charger, eq.SolarArray, eq.Monitor)


def archived(book: Book) -> Mapping[str, Van | None]:
    """Return each archived revision by its mark, analysed; None if it can no longer be read."""
    return book.once(_archived)


def _archived(book: Book) -> dict[str, Van | None]:
    found: dict[str, Van | None] = {}
    for revision in book.revisions:
        if revision is book.revisions[-1] and not book.changed:  # the newest archive equals the current van
            found[revision.mark] = book.van
            continue
        try:
            found[revision.mark] = Van.of(revision.van_file())
        except SystemFileError:
            found[revision.mark] = None
    return found


def since(book: Book) -> tuple[tuple[str, str], ...]:
    """Return the mark of each earlier revision with one line on the differences for the owner."""
    return book.once(_since)


def _since(book: Book) -> tuple[tuple[str, str], ...]:
    earlier = [(mark, van) for mark, van in archived(book).items() if van is not None and mark != book.mark]
    return tuple((mark, _line(list(dict.fromkeys(_changes(book, van))))) for mark, van in earlier)


def _line(changes: list[str]) -> str:
    if not changes:
        return say("since.nothing")
    more = [say("since.more", count=len(changes) - MAX_CHANGES)] if len(changes) > MAX_CHANGES else []
    return upper_first("; ".join((*changes[:MAX_CHANGES], *more)) + ".")


def _changes(book: Book, old: Van) -> Iterator[str]:
    """Yield the differences, most urgent first: fuses, batteries, switches, devices."""
    labels = stale_labels(old.system, old.sizing, book.system, book.sizing)
    for label in labels:
        if label.kind == "fuse":
            yield from _fuse(book, old, label)
    for label in labels:
        piece, former = book.system.batteries.get(label.name), old.system.batteries.get(label.name)
        if piece is None or former is None:
            continue
        if (piece.capacity_ah, piece.chemistry) != (former.capacity_ah, former.chemistry):
            size, kind = quantity(piece.capacity_ah, "Ah"), piece.traits.names.owner
            yield say("since.battery", name=book.name(label.name), size=size, chemistry=kind)
    before, now = _handled(old), _handled(book.van)
    for key, things in (("removed", before.keys() - now.keys()), ("added", now.keys() - before.keys())):
        for ident, name in (before | now).items():
            if ident in things:
                yield say(f"since.{key}", name=name)
    for visit in book.system.services[len(old.system.services) :]:
        for ident in visit.replaced:
            if ident in now:
                yield say("since.replaced", name=now[ident])


def _fuse(book: Book, old: Van, label: Label) -> Iterator[str]:
    fuse = book.network.fuses.get(label.name)
    if label.gone or fuse is None:
        owner, _, position = label.name.partition(".")
        board = _name(old, owner)
        name = say("fuse.short_on", position=position, board=board) if position else board
        yield say("since.removed", name=name)
        return
    was, now = old.sizing.fuses[label.name].rating_a, book.sizing.fuses[label.name].rating_a
    name = book.fuse_name(fuse)
    if was != now:
        yield say("since.rating", fuse=name, old=quantity(was, "A"), new=quantity(now, "A"))
    elif _loads(old, label.name) != _loads(book.van, label.name):  # renaming alone is not a change
        yield say("since.serves", fuse=name, serves=", ".join(book.served(fuse)) or say("fuse.nothing"))


def _loads(van: Van, fuse: str) -> set[str]:
    return {
        load
        for circuit in van.system.circuits
        if f"{circuit.fuse.board}.{circuit.fuse.position}" == fuse
        for load in circuit.loads
    }


def _handled(van: Van) -> dict[str, str]:
    """Return the names of the devices that an owner uses, switches or reads, by id."""
    pieces = [ident for ident, piece in van.system.equipment.items() if isinstance(piece, OPERATED)]
    return {ident: _name(van, ident) for ident in (*van.system.loads, *pieces)}


def _name(van: Van, ident: str) -> str:
    thing = van.system.equipment.get(ident) or van.system.loads.get(ident)
    return (clean(thing.name).strip() if thing else "") or ident
