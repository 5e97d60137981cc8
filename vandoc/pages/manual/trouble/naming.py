"""Names and locations of parts, terminals and causes."""

from collections import Counter

from vandoc.analysis.diagnosis.problem import Cause
from vandoc.pages.manual.book import Book
from vandoc.pages.manual.text import TROUBLE, tell
from vandoc.physics.network.graph import Edge, owner_of


def key(answer: str) -> str:
    """Return the message key of an answer."""
    return answer.replace(" ", "_")


def part_name(book: Book, part: str) -> str:
    """Return the name of a faulty part, with its terminal if several cables connect the same items."""
    network = book.network
    if part in network.fuses:
        return book.edge_name(part)
    if part not in network.conductors and part not in network.joints:
        return book.name(part)
    edge = network.edge(part)
    ends = _pieces(edge)
    if ends[0] == ends[1]:
        return book.edge_name(part)
    name = tell("cable", start=book.name(ends[0]), end=book.name(ends[1]))
    if book.once(_joined)[frozenset(ends)] == 1:
        return name
    return tell("cable-of", name=name, label=_label(edge.start.partition(".")[2]))


def _joined(book: Book) -> Counter[frozenset[str]]:
    """The number of cables and contacts that connect each pair of items."""
    edges: list[Edge] = [*book.network.conductors.values(), *book.network.joints.values()]
    return Counter(frozenset(_pieces(edge)) for edge in edges)


def _pieces(edge: Edge) -> tuple[str, str]:
    """The items at both ends of an edge."""
    return owner_of(edge.start), owner_of(edge.end)


def _label(end: str) -> str:
    """The name of a terminal within its item."""
    return TROUBLE["terminal"].get(end) or tell("terminal.position", number=end)


def terminal_name(book: Book, terminal: str) -> str:
    """Return the full name of a terminal."""
    owner, _, end = terminal.partition(".")
    return tell("terminal.of", name=book.name(owner), label=_label(end)) if end else book.name(owner)


def spot_of(cause: Cause) -> str | None:
    """Return the terminal of a high-resistance joint from the id of the cause, or None."""
    return cause.id.removeprefix(f"{cause.kind} {cause.part}").removeprefix(" at ") or None


def place_of(book: Book, part: str) -> str | None:
    """Return the location of a terminal, item, load, fuse or cable; for a cable, that of one end."""
    network = book.network
    if part in network.places:
        return network.places[part]
    if part in network.fuses:
        return book.place_id(network.fuses[part].owner)
    if part in network.conductors:
        cable = network.conductors[part]
        return network.places.get(cable.start) or network.places.get(cable.end)
    return book.place_id(owner_of(part))


def part_ids(book: Book, part: str) -> str:
    """Return the id of a faulty part; for a cable or joint, those of the terminals at its ends."""
    network = book.network
    edge = network.conductors.get(part) or network.joints.get(part)
    return f"{edge.start}, {edge.end}" if edge else part


def cause_words(book: Book, cause: Cause) -> str:
    """Return a cause as a phrase."""
    spot = spot_of(cause)
    part = part_name(book, cause.part)
    if cause.kind == "joint-poor" and spot:
        return tell("cause.joint-poor-at", part=part, spot=terminal_name(book, spot))
    return tell(f"cause.{cause.kind}", part=part)
