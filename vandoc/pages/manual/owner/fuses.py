"""A page for each fuse, and the list of every device that can stop working."""

from collections.abc import Iterator
from dataclasses import dataclass

from vandoc.analysis.diagnosis.permitted import owner_pulls
from vandoc.model.chains import passed
from vandoc.model.references import switched_by_hand
from vandoc.pages.manual.book import Book, PlaceView
from vandoc.pages.manual.fuse_looks import FuseLook, board_drawing, board_words, body_of, resets
from vandoc.pages.manual.page import Page
from vandoc.pages.manual.text import Markup, enumerated, say, upper_first
from vandoc.pages.manual.trouble.symptoms import of_devices
from vandoc.pages.manual.workshop_pages import safe_name
from vandoc.physics.network.graph import FuseLink, owner_of


@dataclass(frozen=True)
class RelatedFuse:
    """Another fuse to check, with its page."""

    name: str
    path: str
    where: str


@dataclass(frozen=True)
class FusePage:
    """Contents of the page of a fuse.

    Attributes
    ----------
    big : str
        Its number on the fuse board, or the rating of a fuse in a separate holder.
    served : tuple of str
        Loads or equipment at the end of its cable.
    stops, idle, cut_off : tuple of str
        Other devices, chargers and batteries that are lost when the fuse has blown.
    replace : bool
        Whether the owner may replace it.
    resets : bool
        Whether it is a circuit breaker.
    towards : tuple of RelatedFuse
        The fuses between it and the battery, the nearest first.
    """

    big: str
    board: str | None
    body: FuseLook
    where: PlaceView
    served: tuple[str, ...]
    words: tuple[str, ...]
    switches: tuple[str, ...]
    stops: tuple[str, ...]
    idle: tuple[str, ...]
    cut_off: tuple[str, ...]
    replace: bool
    resets: bool
    on_battery: bool
    towards: tuple[RelatedFuse, ...]
    drawing: Markup | None
    drawing_text: tuple[str, ...]


def path_of(fuse: FuseLink) -> str:
    """Return the path of a fuse's page; the full stop in the id of a board's fuse prevents clashes."""
    return f"fuse/{safe_name(fuse.id)}.md"


def title_of(book: Book, fuse: FuseLink) -> str:
    """Return the title of a fuse's page."""
    if fuse.position is None:
        return upper_first(book.name(fuse.owner))
    served = book.served(fuse)
    first = upper_first(served[0]) if served else say("fuse.nothing")
    serves = (
        say("more", first=first, count=len(served) - 1)
        if len(served) > 2
        else enumerated((first, *served[1:]))
    )
    return say("fuse.title", position=fuse.position, serves=serves)


def pages(book: Book) -> Iterator[Page]:
    """Yield the page of each fuse by board, in the order of the file, then by position."""
    links = sorted(book.network.fuses.values(), key=lambda fuse: _order(book, fuse))
    for fuse in links:
        view = {"fuse": _view(book, fuse), "causes": of_devices(book, _at_end(book, fuse))}
        yield Page(path_of(fuse), "owner/fuse", title_of(book, fuse), view, listed=False)


def _at_end(book: Book, fuse: FuseLink) -> set[str]:
    """The loads of a fuse's circuit, or the equipment at the other end of its cable."""
    circuits = [
        c for c in book.system.circuits if (c.fuse.board, c.fuse.position) == (fuse.owner, fuse.position)
    ]
    ends = [c.end for c in book.network.conductors.values() if c.start == fuse.end]
    ends += [c.start for c in book.network.conductors.values() if c.end == fuse.end]
    return {load for circuit in circuits for load in circuit.loads} or {owner_of(end) for end in ends}


def _order(book: Book, fuse: FuseLink) -> tuple[bool, int, int]:
    return fuse.position is None, list(book.system.equipment).index(fuse.owner), fuse.position or 0


def _view(book: Book, fuse: FuseLink) -> FusePage:
    body = body_of(book, fuse)
    lost = book.supply.loss(fuse)
    on_battery = book.supply.sits_on_battery(fuse)
    rating_a = book.sizing.fuses[fuse.id].rating_a
    circuits = [
        c for c in book.system.circuits if (c.fuse.board, c.fuse.position) == (fuse.owner, fuse.position)
    ]
    loads = [load for circuit in circuits for load in circuit.loads]
    towards = [link for link in book.supply.fuses_towards(fuse.start) if link is not fuse]
    place = book.place_id(fuse.owner)
    assert place is not None
    inline = fuse.position is None
    by_hand = switched_by_hand(book.system)
    return FusePage(
        big=body.rating if inline else str(fuse.position),
        board=None if inline else book.name(fuse.owner),
        body=body,
        where=book.where(place),
        served=book.served(fuse),
        words=tuple(dict.fromkeys(word for load in loads for word in book.system.loads[load].words)),
        switches=tuple(
            book.name(ident) for circuit in circuits for ident in passed(circuit) if ident in by_hand
        ),
        stops=tuple(book.name(ident) for ident in lost.stops if inline or ident not in loads),
        idle=tuple(book.name(ident) for ident in lost.idle),
        cut_off=tuple(book.name(ident) for ident in lost.cut_off),
        replace=owner_pulls(book.system, book.network, fuse, rating_a),
        resets=resets(book, fuse),
        on_battery=on_battery,
        towards=tuple(next_fuse(book, link) for link in towards),
        drawing=None if inline else board_drawing(book, fuse, f"board-{fuse.owner}"),
        drawing_text=() if inline else tuple(board_words(book, fuse)),
    )


def next_fuse(book: Book, fuse: FuseLink) -> RelatedFuse:
    """Return a fuse with the path of its page."""
    place = book.place_id(fuse.owner)
    assert place is not None
    return RelatedFuse(book.fuse_name(fuse), path_of(fuse), book.where(place).label)
