"""The single-line diagram of one van: an overview, and a sheet for each location and fuse board.

Energy flows from left to right. Returns to a busbar or to the chassis are short dashed stubs at their part;
the main return of the leisure batteries and the circuits of a board are drawn in full.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace

from vandoc.analysis import Van
from vandoc.ground.figures import plain, stated
from vandoc.model.chains import beside, links, passed, unstated
from vandoc.model.piece import Piece
from vandoc.model.traits import CHASSIS
from vandoc.model.wiring import Circuit
from vandoc.pages.diagram.dot import dot_text
from vandoc.pages.diagram.overview import reduce_to
from vandoc.pages.diagram.parts import (
    PROPOSED,
    facts_of,
    fuse_rating,
    load_facts,
    load_symbol,
)
from vandoc.pages.diagram.schematic import (
    CableRun,
    DrawnPart,
    ReturnStub,
    Schematic,
    Sign,
    Wire,
    acyclic,
    schematic_text,
    with_bars,
)
from vandoc.pages.diagram.words import say
from vandoc.physics.network.graph import Conductor, owner_of

Href = Callable[[str], str | None]

OVERVIEW_PARTS = 15
BOARD_PITCH = 94.0  # [pt] between the rows of a board's sheet
BOARD_TEXT = 190.0  # [pt]


@dataclass(frozen=True)
class Sheet:
    """One drawing: its name in pages, its title, its DOT text, and the lines of its text version."""

    ident: str
    title: str
    dot: str
    text_lines: list[str]


def sheets(van: Van, href_for: Href) -> list[Sheet]:
    """Return the overview, then a sheet for each location with equipment, then one for each fuse board.

    Parameters
    ----------
    href_for : callable
        Returns the page of an item of equipment or a load, by its id in the van file, or None.
    """
    return [
        Sheet(sheet.ident, sheet.title, dot_text(sheet), schematic_text(sheet))
        for sheet in schematics(van, href_for)
    ]


def schematics(van: Van, href_for: Href) -> list[Schematic]:
    """Return the sheets as plain objects, in the order of :func:`sheets`."""
    reader = _Reader(van, href_for)
    places = [place for place in van.system.places if any(part.zone == place for part in reader.parts)]
    boards = [ident for ident, piece in van.system.equipment.items() if piece.positions() is not None]
    made = [reader.overview(), *(reader.place_sheet(place) for place in places)]
    made += [reader.board_sheet(board) for board in boards]
    return [_footed(with_bars(acyclic(sheet))) for sheet in made]


def _footed(sheet: Schematic) -> Schematic:
    words = [*(wire.size for wire in sheet.wires), *(fact for part in sheet.parts for fact in part.facts)]
    words += [way.size for part in sheet.parts for way in part.ways]
    words += [fuse for wire in sheet.wires for fuse in wire.fuses]
    proposed = any(PROPOSED in text for text in words)
    return replace(sheet, foot=say("sheet.proposed")) if proposed else sheet


def _is_earth(owner: str, piece: Piece | None) -> bool:
    return owner == CHASSIS or (piece is not None and piece.symbol() == "earth")


class _Reader:
    """Converts one van to parts and wires; the loads of circuits are on the sheets of the boards only."""

    def __init__(self, van: Van, href_for: Href) -> None:
        system, network = van.system, van.network
        self.system, self.network, self.sizing, self.href_for = system, network, van.sizing, href_for
        self.zones = {ident: place.label for ident, place in system.places.items()}
        self.panels = {source.owner for source in network.sources if source.kind == "solar"}
        self.ways: dict[str, list[ReturnStub]] = {}
        self.wires: list[Wire] = []
        on_circuits = {load for circuit in system.circuits for load in circuit.loads}
        cabled = {owner_of(end) for cable in system.cables for end in (cable.start, cable.end)}
        on_circuits |= {ident for circuit in system.circuits for ident in passed(circuit)} - cabled
        self.on_circuits = on_circuits
        self.away = self._steps_from_chassis()
        self.main_return = self._main_return()
        for conductor in network.conductors.values():
            if conductor.circuit is None:
                self._cable(conductor)
        self.parts = [
            self._part(ident) for ident in (*system.equipment, *system.loads) if ident not in on_circuits
        ]

    def overview(self) -> Schematic:
        """Return all parts with a wire, reduced to a readable number."""
        wired = {end for wire in self.wires for end in (wire.start, wire.end)}
        parts = tuple(part for part in self.parts if part.id in wired)
        full = Schematic("overview", say("sheet.overview"), self.zones, parts, tuple(self.wires))
        return reduce_to(full, OVERVIEW_PARTS)

    def place_sheet(self, place: str) -> Schematic:
        """Return the equipment in one location, and the part at the far end of each cable that leaves it."""
        here = {part.id for part in self.parts if part.zone == place}
        wires = tuple(wire for wire in self.wires if wire.start in here or wire.end in here)
        near = {end for wire in wires for end in (wire.start, wire.end)} - here
        parts = tuple(
            part if part.id in here else self._elsewhere(part)
            for part in self.parts
            if part.id in here or part.id in near
        )
        title = say("sheet.place", place=self.zones[place])
        return Schematic(f"place-{place}", title, {place: self.zones[place]}, parts, wires)

    def board_sheet(self, board: str) -> Schematic:
        """Return the fuses of a board, one row each, with their loads and returns."""
        piece = self.system.equipment[board]
        carries = piece.carries()
        rating = plain(stated(carries.limit_a, "A")) if carries and carries.limit_a else ""
        facts = tuple(filter(None, (rating, self.zones[piece.place])))
        parts = {board: replace(self._part(board), symbol="busbar", zone=None, facts=facts)}
        wires: list[Wire] = []
        for wire in self.wires:  # the feed, and cables from a position
            other = wire.start if wire.end == board else wire.end if wire.start == board else None
            if other is not None:
                known = next(part for part in self.parts if part.id == other)
                parts[other] = self._elsewhere(known)
                wires.append(wire)
        circuits = [circuit for circuit in self.system.circuits if circuit.fuse.board == board]
        for circuit in sorted(circuits, key=lambda circuit: circuit.fuse.position):
            self._circuit(circuit, parts, wires)
        title = say("sheet.board", board=piece.name)
        made = Schematic(f"board-{board}", title, {}, tuple(parts.values()), tuple(wires))
        return replace(made, pitch=BOARD_PITCH, text_width=BOARD_TEXT, stacked=False)

    def _circuit(self, circuit: Circuit, parts: dict[str, DrawnPart], wires: list[Wire]) -> None:
        board, position = circuit.fuse.board, circuit.fuse.position
        fuse = f"{board}.{position}"
        name = say("sheet.fuse_position", position=position, rating=fuse_rating(fuse, self.sizing))
        href = self.href_for(board)
        parts[fuse] = DrawnPart(fuse, "fuse", name, href=href)
        wires.append(Wire(f"{fuse} feed", board, fuse, "+"))
        nodes: dict[str | None, str] = {None: fuse}
        for ident in (*passed(circuit), *circuit.loads):
            if ident not in beside(circuit):
                nodes[ident] = ident
                parts[ident] = self._on_circuit(circuit, ident)
        supplies = tuple(self._conductors(circuit, "supply"))
        for link, conductor in zip(links(circuit), supplies, strict=True):
            ends = nodes[link.start], nodes[link.end]
            wires.append(Wire(conductor.id, *ends, "+", (self._run(conductor),)))
        for start, end in unstated(circuit):
            if end in nodes:
                wires.append(Wire(f"{end} to load", nodes[start], nodes[end], "+"))
        for conductor in self._conductors(circuit, "return"):
            owner = owner_of(conductor.end)
            if owner not in parts:
                parts[owner] = self._collector(owner)
            wires.append(Wire(conductor.id, owner_of(conductor.start), owner, "-", (self._run(conductor),)))

    def _on_circuit(self, circuit: Circuit, ident: str) -> DrawnPart:
        """Return a part of a circuit; loads without a cable of their own are drawn with the first load."""
        part = self._part(ident)
        if ident == circuit.loads[0]:
            for other in map(self._part, beside(circuit)):
                part = replace(part, name=f"{part.name}, {other.name}", facts=(*part.facts, *other.facts))
        if ident in circuit.loads:
            place = self.zones[self.system.loads[ident].place]
            part = replace(part, facts=(", ".join([*part.facts, place]),), ways=())
        return replace(part, zone=None)

    def _conductors(self, circuit: Circuit, role: str) -> Iterator[Conductor]:
        for conductor in self.network.conductors.values():
            if conductor.circuit == circuit.id and conductor.role == role:
                yield conductor

    def _collector(self, owner: str) -> DrawnPart:
        """Return the common return of a board's circuits: a busbar, with an earth symbol for the chassis."""
        piece = self.system.equipment.get(owner)
        metal = _is_earth(owner, piece)
        name = piece.name if piece else say("sheet.chassis")
        ways = (ReturnStub("earth", "", ""),) if metal else ()
        facts = (self.zones[piece.place],) if piece else ()
        return DrawnPart(owner, "busbar", name, facts, href=self._href(owner), ways=ways, here=False)

    def _part(self, ident: str) -> DrawnPart:
        piece = self.system.equipment.get(ident)
        ways = tuple(self.ways.get(ident, ()))
        if piece is None:
            load = self.system.loads[ident]
            facts = tuple(load_facts(load))
            return DrawnPart(ident, load_symbol(load), load.name, facts, load.place, self._href(ident), ways)
        facts = tuple(fact for fact in facts_of(ident, piece, self.system, self.sizing) if fact)
        return DrawnPart(ident, piece.symbol(), piece.name, facts, piece.place, self._href(ident), ways)

    def _href(self, ident: str) -> str | None:
        return None if ident == CHASSIS else self.href_for(ident)

    def _elsewhere(self, part: DrawnPart) -> DrawnPart:
        facts = (*part.facts, self.zones[part.zone]) if part.zone else part.facts
        return replace(part, zone=None, facts=facts, ways=(), here=False)

    def _run(self, conductor: Conductor) -> CableRun:
        sized = self.sizing.conductors[conductor.id]
        size = conductor.size or plain(stated(sized.area_mm2, "mm²"))
        return CableRun(size + (PROPOSED if sized.proposed else ""), sized.area_mm2, conductor.length_m)

    def _cable(self, conductor: Conductor) -> None:
        run = self._run(conductor)
        ends = (owner_of(conductor.start), owner_of(conductor.end))
        if conductor.signal:
            self._wire(conductor, *ends, "signal", replace(run, size=run.size))
        elif self.network.is_return(conductor):
            self._return(conductor, *ends, run)
        else:
            amps = [solved.amps[conductor.id] for solved in self.sizing.states.values()]
            backwards = next((a < 0 for a in amps if abs(a) > 1e-6), False)
            left, right = reversed(ends) if backwards else ends
            self._wire(conductor, left, right, "+", run)

    def _wire(self, conductor: Conductor, start: str, end: str, sign: Sign, run: CableRun) -> None:
        fuses = tuple(
            say("sheet.fuse", rating=fuse_rating(terminal, self.sizing))
            for terminal in (conductor.start, conductor.end)
            if terminal in self.network.fuses
        )
        under = sign == "-" and self._is_bank(end)
        if CHASSIS not in (start, end) and start != end:
            self.wires.append(Wire(conductor.id, start, end, sign, (run,), fuses, under))

    def _return(self, conductor: Conductor, first: str, second: str, run: CableRun) -> None:
        stub = self._stub_at(first, second)
        if stub is None:
            left, right = sorted((first, second), key=lambda owner: self.away.get(owner, 0))
            self._wire(conductor, left, right, "-", run)
            return
        at, to = stub
        piece = self.system.equipment.get(to)
        kind: str = "earth" if _is_earth(to, piece) else "bar"
        name = piece.name if piece else say("sheet.chassis") if to == CHASSIS else self.system.loads[to].name
        way = ReturnStub("earth" if kind == "earth" else "bar", name, Wire("", "", "", "-", (run,)).size)
        self.ways.setdefault(at, []).append(way)

    def _stub_at(self, first: str, second: str) -> tuple[str, str] | None:
        """Return the part at which a return is a stub, and its destination; None if it is drawn in full."""
        if CHASSIS in (first, second):
            return (second, first) if first == CHASSIS else (first, second)
        for at, to in ((first, second), (second, first)):
            if at in self.panels:
                return at, to
        if {first, second} <= self.main_return:
            return None
        further = self.away.get(second, 0) > self.away.get(first, 0)
        return (second, first) if further else (first, second)

    def _main_return(self) -> set[str]:
        """Return the parts on the path from each leisure battery's negative to the chassis."""
        found: set[str] = set()
        for source in self.network.batteries():
            if self._is_bank(source.owner):
                way = self.network.path([CHASSIS], source.minus) or []
                found |= {owner_of(end) for edge in way for end in (edge.start, edge.end)}
        return found

    def _is_bank(self, owner: str) -> bool:
        return owner in self.system.leisure

    def _steps_from_chassis(self) -> dict[str, int]:
        """Return the number of cables between each part on the return side and the chassis."""
        around: dict[str, list[str]] = {}
        for edge in self.network.edges():
            if self.network.is_return(edge):
                a, b = owner_of(edge.start), owner_of(edge.end)
                around.setdefault(a, []).append(b)
                around.setdefault(b, []).append(a)
        steps = {CHASSIS: 0}
        todo = [CHASSIS]
        for owner in todo:
            for other in around.get(owner, ()):
                if other not in steps:
                    steps[other] = steps[owner] + 1
                    todo.append(other)
        return steps
