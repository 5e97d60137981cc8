"""The chain of a circuit: lengths of cable from its fuse through switches and connectors to its loads."""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass

from vandoc.ground.messages import Messages
from vandoc.model.system import System
from vandoc.model.wiring import Circuit, Run, Segment, SegmentReturn

say = Messages("vandoc.model", "faults").say

Path = tuple[str | int, ...]
Fault = tuple[Path, str]
Unknown = Callable[[Path, str, list[str], str], Fault]


@dataclass(frozen=True)
class Link:
    """One length of cable in a circuit.

    Attributes
    ----------
    run : Run
        What the file states of it.
    start : str or None
        The item or load at which it begins; None for the fuse.
    end : str or None
        The item or load at which it ends; None if the file names none and no load is left.
    number : int or None
        Its place in the list of segments; None if the circuit states one cable alone.
    """

    run: Run
    start: str | None
    end: str | None
    number: int | None = None

    @property
    def back(self) -> SegmentReturn | None:
        """What the file states of the return from the load at its end."""
        return self.run.return_ if isinstance(self.run, Segment) else None


@dataclass(frozen=True)
class Leg:
    """The links from the fuse, or from a load, to the next load.

    Attributes
    ----------
    load : str
        The load at its end.
    before : str or None
        The load at which it begins; None for the fuse.
    links : tuple of Link
        All links on the way, those that an earlier leg also uses included.
    number : int
        From 0.
    """

    load: str
    before: str | None
    links: tuple[Link, ...]
    number: int


def links(circuit: Circuit) -> tuple[Link, ...]:
    """Return the lengths of cable of a circuit in the order of the file.

    A segment begins where the one before it ends, and leads to the next load, unless it states otherwise.
    """
    if isinstance(circuit.cable, Run):
        return (Link(circuit.cable, None, circuit.switch or circuit.loads[0]),)
    named = {segment.to for segment in circuit.cable}
    left = [load for load in circuit.loads if load not in named]
    found: list[Link] = []
    before: str | None = None
    for number, segment in enumerate(circuit.cable):
        end = segment.to or (left.pop(0) if left else None)
        found.append(Link(segment, segment.start or before, end, number))
        before = end
    return tuple(found)


def passed(circuit: Circuit) -> tuple[str, ...]:
    """Return the items between the fuse and the loads of a circuit, in order."""
    ends = (link.end for link in links(circuit))
    return tuple(dict.fromkeys(end for end in ends if end is not None and end not in circuit.loads))


def legs(circuit: Circuit) -> tuple[Leg, ...]:
    """Return the ways to each load that has a cable of its own, in the order of the file."""
    if isinstance(circuit.cable, Run):
        return (Leg(circuit.loads[0], None, links(circuit), 0),)
    made: list[Leg] = []
    towards: Mapping[str | None, Link] = {link.end: link for link in links(circuit)}
    for load in _reached(circuit):
        way: list[Link] = []
        at: str | None = load
        while at is not None and (at == load or at not in circuit.loads):
            way.append(towards[at])
            at = towards[at].start
        made.append(Leg(load, at, tuple(way[::-1]), len(made)))
    return tuple(made)


def beside(circuit: Circuit) -> tuple[str, ...]:
    """Return the loads without a cable of their own, connected to the terminals of the first load."""
    own = set(_reached(circuit))
    return tuple(load for load in circuit.loads if load not in own)


def unstated(circuit: Circuit) -> Iterator[tuple[str, str]]:
    """Yield the two ends of each length of cable that must exist but that the file does not state."""
    if not isinstance(circuit.cable, Run):
        return
    if circuit.switch is not None:
        yield circuit.switch, circuit.loads[0]
    yield from ((circuit.loads[0], other) for other in circuit.loads[1:])


def missing(system: System, circuit: Circuit) -> Iterator[tuple[str, str]]:
    """Yield the two ends of each such length; devices side by side can share their terminals."""
    for start, end in unstated(circuit):
        if start not in circuit.loads or system.things[start].place != system.things[end].place:
            yield start, end


def _reached(circuit: Circuit) -> tuple[str, ...]:
    if isinstance(circuit.cable, Run):
        return (circuit.loads[0],)
    return tuple(link.end for link in links(circuit) if link.end in circuit.loads)


def chain_faults(system: System, unknown: Unknown) -> Iterator[Fault]:
    """Yield what is wrong with the segments of each circuit, with the path of the value."""
    for index, circuit in enumerate(system.circuits):
        if not isinstance(circuit.cable, Run):
            yield from _names(system, circuit, index, unknown)
            yield from _gaps(circuit, index)


def _names(system: System, circuit: Circuit, index: int, unknown: Unknown) -> Iterator[Fault]:
    """Yield names that a segment cannot have: they must be loads of the circuit, or items it can pass."""
    known = [*circuit.loads, *(ident for ident, piece in system.equipment.items() if piece.passes())]
    if circuit.switch is not None:
        yield ("circuits", index, "switch"), say("chains.switch", switch=circuit.switch)
    reached: list[str] = []
    for link in links(circuit):
        path: Path = ("circuits", index, "cable", link.number or 0)
        if link.end is None:
            yield path, say("chains.no_load_left")
        elif link.end not in known:
            yield unknown((*path, "to"), link.end, known, say("chains.goal"))
        elif link.end in reached:
            yield (*path, "to"), say("chains.reached_twice", name=link.end)
        if link.start is not None and link.start not in reached:
            yield unknown((*path, "from"), link.start, reached, say("chains.start"))
        reached.append(link.end or "")


def _gaps(circuit: Circuit, index: int) -> Iterator[Fault]:
    """Yield loads without a segment, items after which nothing follows, and returns without a load."""
    made, path = links(circuit), ("circuits", index, "cable")
    ends, starts = {link.end for link in made}, {link.start for link in made}
    for load in circuit.loads:
        if load not in ends:
            yield ("circuits", index, "load"), say("chains.load_without_segment", load=load)
    for link in made:
        if link.end is not None and link.end not in circuit.loads and link.end not in starts:
            yield (*path, link.number or 0), say("chains.dead_end", name=link.end)
        first = next((one.end for one in made if one.end in circuit.loads), None)
        if link.back is not None and (link.end not in circuit.loads or link.end == first):
            yield (*path, link.number or 0, "return"), say("chains.return_elsewhere")
