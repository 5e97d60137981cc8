"""The wiring of one van as parts and cables between them, for any sheet of the diagram."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from functools import cached_property

from vandoc.analysis import Van
from vandoc.ground.figures import plain, stated
from vandoc.model.chains import beside, links, passed, unstated
from vandoc.model.designations import of_conductor, of_fuse
from vandoc.model.traits import CHASSIS
from vandoc.model.wiring import Circuit
from vandoc.pages.diagram.parts import PROPOSED, facts_of, fuse_rating, load_facts, load_symbol
from vandoc.pages.diagram.single_line.stations import Cable, Note, NoteKind, Part, Sign
from vandoc.pages.diagram.words import say
from vandoc.physics.network.graph import Conductor, FuseLink, owner_of

Href = Callable[[str], str | None]


@dataclass(frozen=True)
class Join:
    """A cable between two parts, by their ids; of a circuit, or another."""

    start: str
    end: str
    cable: Cable
    on_circuit: bool = False

    def other(self, part: str) -> str:
        """Return the part at its other end."""
        return self.end if part == self.start else self.start


class Wiring:
    """One van, read once for all its sheets.

    Parameters
    ----------
    van : Van
    href_for : callable
        Returns the page of an item of equipment or a load, by its id in the van file, or None.
    """

    def __init__(self, van: Van, href_for: Href) -> None:
        self.van, self.system, self.network, self.sizing = van, van.system, van.network, van.sizing
        self.href_for = href_for
        self._notes: dict[str, list[Note]] = {}
        self.supplies: list[Join] = []
        self.returns: list[Join] = []
        self.signals: list[Join] = []
        for group in self._parallel(c for c in self.network.conductors.values() if c.circuit is None):
            self._sort(group)
        self._circuits()

    @cached_property
    def parts(self) -> dict[str, Part]:
        """Every part that a sheet can show, by its id: equipment, loads, and the positions of boards."""
        found = {CHASSIS: Part(CHASSIS, "frame", "", say("sheet.chassis"))}
        for ident in (*self.system.equipment, *self.system.loads):
            found[ident] = self._part(ident)
        for fuse in self.network.fuses.values():
            if fuse.position is not None:
                found[fuse.id] = self._position(fuse)
        return found

    @cached_property
    def positions(self) -> dict[str, list[str]]:
        """The fuses of each board, by position."""
        found: dict[str, list[str]] = {
            ident: [] for ident, piece in self.system.equipment.items() if piece.positions() is not None
        }
        for fuse in sorted(self.network.fuses.values(), key=lambda fuse: fuse.position or 0):
            if fuse.position is not None:
                found[fuse.owner].append(fuse.id)
        return found

    @cached_property
    def back(self) -> frozenset[str]:
        """The parts that only returns meet, such as a shunt, a negative busbar, an earth bolt or the body."""
        touched: dict[str, set[bool]] = {CHASSIS: {True}}
        for conductor in self.network.conductors.values():
            if not conductor.signal:
                for end in (conductor.start, conductor.end):
                    touched.setdefault(owner_of(end), set()).add(self.network.is_return(conductor))
        own = {source.owner for source in self.network.sources}
        own |= {consumer.owner for consumer in self.network.consumers}
        return frozenset(owner for owner, sides in touched.items() if sides == {True} and owner not in own)

    def equipment(self) -> Iterator[Part]:
        """Yield the parts that are equipment."""
        yield from (self.parts[ident] for ident in self.system.equipment)

    def on_circuit(self, circuit: Circuit) -> set[str]:
        """Return the ids of the parts of a circuit, without its fuse."""
        return {*passed(circuit), *circuit.loads}

    def position_of(self, circuit: Circuit) -> str:
        """Return the id of the fuse of a circuit."""
        return f"{circuit.fuse.board}.{circuit.fuse.position}"

    def from_afar(self, part: Part) -> Part:
        """Return a part as seen from another place: with its place, and of a position, with its board."""
        fuse = self.network.fuses.get(part.id)
        name = part.name or (self.system.equipment[fuse.owner].name if fuse else "")
        where = self.system.places[part.place].label if part.place else ""
        facts = tuple(filter(None, (*part.facts, where)))
        return replace(part, name=name, facts=facts, place=None, notes=(), here=False)

    def station(self, terminal: str) -> str:
        """Return the part at which a terminal is: a position of a board, or the item."""
        fuse = self.network.fuses.get(terminal)
        return terminal if fuse is not None and fuse.position is not None else owner_of(terminal)

    def name(self, ident: str) -> str:
        """Return how a sheet refers to a part: by its designation, or else by its name."""
        fuse = self.network.fuses.get(ident)
        if fuse is not None and fuse.position is not None:
            return self._position(fuse).mark
        item = self.system.equipment.get(ident) or self.system.loads.get(ident)
        return (item.designation or item.name) if item else say("sheet.chassis")

    def notes(self, ident: str) -> tuple[Note, ...]:
        """Return the returns that end beside a part."""
        return tuple(self._notes.get(ident, ()))

    def references(self, join: Join) -> tuple[Note, Note]:
        """Return the notes at both ends of a cable that a sheet does not draw between them."""
        kind: NoteKind = "signal" if join.cable.sign == "signal" else "wire"
        there = Note(kind, say("sheet.leads", to=self.name(join.end)), _facts(join.cable), join.cable.edges)
        return there, Note(kind, say("sheet.comes", start=self.name(join.start)))

    def _parallel(self, conductors: Iterator[Conductor]) -> Iterator[list[Conductor]]:
        """Yield conductors that lie in parallel together."""
        groups: dict[tuple[object, ...], list[Conductor]] = {}
        for one in conductors:
            ends = frozenset((self.station(one.start), self.station(one.end)))
            known = (one.size, one.area_mm2, one.length_m) if one.area_mm2 is not None else one.id
            groups.setdefault((ends, known, one.signal), []).append(one)
        yield from groups.values()

    def _sort(self, group: list[Conductor]) -> None:
        one = group[0]
        start, end = self.station(one.start), self.station(one.end)
        if start == end:
            return
        if one.signal:
            self.signals.append(Join(start, end, self._cable(group, "signal")))
        elif self.network.is_return(one):
            self._return(Join(start, end, self._cable(group, "-")))
        else:
            self.supplies.append(Join(start, end, self._cable(group, "+")))

    def _return(self, join: Join) -> None:
        ends = {join.start, join.end}
        bank = [owner for owner in ends if owner in self.system.leisure]
        if (ends <= self.back and CHASSIS not in ends) or (
            bank and ends - set(bank) <= self.back - {CHASSIS}
        ):
            self.returns.append(join)
        else:
            at, to = self._device_first(join)
            self._note_return(at, to, join.cable)

    def _device_first(self, join: Join) -> tuple[str, str]:
        """Return the end that is a device, and the other; of panels and controller, the panels first."""
        panels = {source.owner for source in self.network.sources if source.kind == "solar"}
        for at, to in ((join.start, join.end), (join.end, join.start)):
            if (to in self.back and at not in self.back) or (at in panels and to not in panels):
                return at, to
        return (join.end, join.start) if join.start == CHASSIS else (join.start, join.end)

    def _note_return(self, at: str, to: str, cable: Cable) -> None:
        kind: NoteKind = "frame" if to == CHASSIS else "bar"
        self._notes.setdefault(at, []).append(Note(kind, self.name(to), _facts(cable), cable.edges))

    def _cable(self, group: list[Conductor], sign: Sign) -> Cable:
        one = group[0]
        sized = self.sizing.conductors[one.id]
        size = one.size or plain(stated(sized.area_mm2, "mm²"))
        size += PROPOSED if sized.proposed else ""
        if len(group) > 1:
            size = f"{len(group)} × {size}"
        label = " ".join(filter(None, (self._label(member) for member in group)))
        length = plain(stated(one.length_m, "m"))
        return Cable(tuple(member.id for member in group), label, size, length, sized.area_mm2, sign)

    def _label(self, conductor: Conductor) -> str:
        found = of_conductor(self.system, conductor.trail, conductor.role)
        if found or conductor.circuit is not None:
            return found
        return self.system.cables[int(conductor.trail[1])].id or ""

    def _circuits(self) -> None:
        for circuit in self.system.circuits:
            fuse = self.position_of(circuit)
            supplies = tuple(self._of(circuit, "supply"))
            nodes: dict[str | None, str] = {None: fuse}
            nodes |= {ident: ident for ident in (*passed(circuit), *circuit.loads)}
            for link, conductor in zip(links(circuit), supplies, strict=True):
                cable = self._cable([conductor], "+")
                self.supplies.append(Join(nodes[link.start], nodes[link.end], cable, on_circuit=True))
            for start, end in unstated(circuit):
                if end not in beside(circuit):
                    self.supplies.append(Join(start, end, Cable(), on_circuit=True))
            for conductor in self._of(circuit, "return"):
                at, to = owner_of(conductor.start), owner_of(conductor.end)
                self._note_return(at, to, self._cable([conductor], "-"))

    def _of(self, circuit: Circuit, role: str) -> Iterator[Conductor]:
        for conductor in self.network.conductors.values():
            if conductor.circuit == circuit.id and conductor.role == role:
                yield conductor

    @cached_property
    def _together(self) -> dict[str, tuple[str, ...]]:
        """The loads at the terminals of the first load of a circuit, by that load."""
        return {circuit.loads[0]: beside(circuit) for circuit in self.system.circuits}

    def _part(self, ident: str) -> Part:
        piece = self.system.equipment.get(ident)
        if piece is None:
            load = self.system.loads[ident]
            names, facts = [load.name], list(load_facts(load))
            for other in self._together.get(ident, ()):
                names.append(self.system.loads[other].name)
                facts += load_facts(self.system.loads[other])
            return Part(
                ident,
                load_symbol(load),
                load.designation or "",
                ", ".join(names),
                tuple(filter(None, facts)),
                load.place,
                self._href(ident),
                self.notes(ident),
            )
        facts = [fact for fact in facts_of(ident, piece, self.system, self.sizing) if fact]
        fuse = ident if piece.protects() is not None else None
        return Part(
            ident,
            piece.symbol(),
            piece.designation or "",
            piece.name,
            tuple(facts),
            piece.place,
            self._href(ident),
            self.notes(ident),
            fuse=fuse,
        )

    def _position(self, fuse: FuseLink) -> Part:
        """Return the fuse in a position of a board."""
        board = self.system.equipment[fuse.owner]
        mark = of_fuse(self.system, fuse.owner, fuse.position)
        short = mark.rpartition("-")[2] or str(fuse.position)
        return Part(
            fuse.id,
            "fuse",
            mark or say("sheet.position", position=fuse.position),
            "",
            (fuse_rating(fuse.id, self.sizing),),
            board.place,
            self._href(fuse.owner),
            fuse=fuse.id,
            short=short,
        )

    def _href(self, ident: str) -> str | None:
        return None if ident == CHASSIS else self.href_for(ident)


def _facts(cable: Cable) -> tuple[str, ...]:
    return tuple(filter(None, (cable.label, cable.measure)))
