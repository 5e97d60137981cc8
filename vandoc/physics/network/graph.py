"""The wiring of a van as a graph: terminals connected by cables, fuses, contacts, busbars and the chassis."""

from collections.abc import Callable, Collection, Iterable, Iterator
from dataclasses import dataclass, field
from functools import cached_property
from typing import Literal

from vandoc.ground.data import constant
from vandoc.model.references import Path as Trail
from vandoc.model.traits import (
    CHASSIS,
    ChargeSource,
    ConsumerKind,
    FuseFamily,
    JointKind,
    MakersFuse,
    SourceKind,
)


@dataclass(frozen=True)
class Conductor:
    """One core of a cable between two terminals.

    Attributes
    ----------
    id : str
        Its name in lists: the cable's own, or the circuit's with `supply` or `return`.
    start, end : str
        Terminals, such as ``house.+``.
    length_m : float
    area_mm2 : float or None
        None where the file leaves it to be proposed.
    size : str
        As written in the file: ``35 mm²``, ``2 AWG``, or empty.
    insulation_c : float
    bunched : int
        Number of grouped circuits, this one included.
    places : tuple[str, ...]
        Places it begins in, passes and ends in.
    conduit : bool
        In conduit or trunking, or in a sheath of which the file does not say that it is none.
    buried_m : float or None
        Longest length within thermal insulation; None if not stated.
    trail : tuple
        Path of its entry in the van file.
    run : tuple
        Path of the entry that says how it lies; of a return that of a supply.
    leg : int
        In a circuit, number of the way to a load that it belongs to, from 0.
    """

    id: str
    start: str
    end: str
    length_m: float
    area_mm2: float | None
    size: str
    insulation_c: float
    bunched: int
    places: tuple[str, ...]
    sheathed: bool
    metal: str | None
    trail: Trail
    circuit: str | None = None
    role: Literal["cable", "supply", "return"] = "cable"
    torque_nm: float | None = None
    vehicle: bool = False
    signal: bool = False
    conduit: bool = False
    buried_m: float | None = None
    colour: str | None = None
    run: Trail = ()
    leg: int = 0


@dataclass(frozen=True)
class Joint:
    """A closed contact or a plain connection inside an item of equipment.

    With `with_engine` it is closed only while the engine runs; `ohm` is its resistance, if known.
    With `joins_batteries` it charges the leisure batteries from the starter battery.
    """

    id: str
    start: str
    end: str
    kind: JointKind
    owner: str
    with_engine: bool = False
    ohm: float | None = None
    joins_batteries: bool = False


@dataclass(frozen=True)
class FuseLink:
    """A fuse: in its own holder, or at a position of a fuse board."""

    id: str
    start: str
    end: str
    owner: str
    position: int | None
    family: FuseFamily
    rating_a: float | None
    voltage_v: float | None
    breaking_a: float | None
    trail: Trail
    by_maker: MakersFuse = field(default_factory=MakersFuse)


Edge = Conductor | Joint | FuseLink


@dataclass(frozen=True)
class Source:
    """A source of current; one with a limit cannot deliver more than that.

    Terminals are named in full. What the other attributes mean, :class:`~vandoc.model.traits.Supplies` says.
    """

    owner: str
    kind: SourceKind
    plus: str
    minus: str
    nominal_v: float
    limit_a: float | None
    charges_from: ChargeSource | None = None
    set_v: float | None = None
    inlet: str | None = None
    waits_for_engine: bool = False
    best_a: float | None = None
    short_circuit_a: float | None = None

    @property
    def fault_a(self) -> float:
        """What it adds to a short circuit: its manufacturer's figure, else a multiple of its output. [A]"""
        if self.short_circuit_a is not None:
            return self.short_circuit_a
        if self.kind == "solar":
            return self.limit_a or 0.0
        return (self.limit_a or 0.0) * constant("short-circuit multiple of a limited source").value


@dataclass(frozen=True)
class Consumer:
    """A sink of current: a load, an inverter, a monitor, or the input of a charger or converter."""

    owner: str
    kind: ConsumerKind
    plus: str
    minus: str
    nominal_v: float
    amps_a: float


def any_edge(_edge: Edge) -> bool:
    """Return True for every edge."""
    return True


@dataclass(frozen=True)
class Network:
    """The graph.

    Attributes
    ----------
    conductors, joints, fuses : dict[str, ...]
        The edges by their id, in the order of the file.
    sources, consumers : tuple
        The edges at its nodes.
    places : dict[str, str]
        The place of each terminal (the chassis has none).
    """

    conductors: dict[str, Conductor]
    joints: dict[str, Joint]
    fuses: dict[str, FuseLink]
    sources: tuple[Source, ...]
    consumers: tuple[Consumer, ...]
    places: dict[str, str]

    @cached_property
    def _around(self) -> dict[str, list[Edge]]:
        around: dict[str, list[Edge]] = {}
        for edge in self.edges():
            around.setdefault(edge.start, []).append(edge)
            around.setdefault(edge.end, []).append(edge)
        return around

    def edges(self) -> Iterator[Edge]:
        """Yield every edge."""
        yield from self.conductors.values()
        yield from self.joints.values()
        yield from self.fuses.values()

    def edge(self, ident: str) -> Edge:
        """Return an edge by its id."""
        return self.conductors.get(ident) or self.joints.get(ident) or self.fuses[ident]

    def at(self, node: str) -> list[Edge]:
        """Return the edges at a terminal."""
        return self._around.get(node, [])

    @cached_property
    def _joints_of(self) -> dict[str, list[Joint]]:
        found: dict[str, list[Joint]] = {}
        for joint in self.joints.values():
            found.setdefault(joint.owner, []).append(joint)
        return found

    def joints_of(self, ident: str) -> list[Joint]:
        """Return the contacts and plain connections of an item, in the order of the file."""
        return self._joints_of.get(ident, [])

    def flood(self, starts: Iterable[str], passes: Callable[[Edge], bool] = any_edge) -> set[str]:
        """Return all terminals that can be reached over the edges for which `passes` is true."""
        reached = set(starts)
        todo = list(reached)
        while todo:
            node = todo.pop()
            for edge in self.at(node):
                other = far_end(edge, node)
                if other not in reached and passes(edge):
                    reached.add(other)
                    todo.append(other)
        return reached

    @cached_property
    def _nets(self) -> dict[str, frozenset[str]]:
        """Return the connected component of each terminal."""
        nets: dict[str, frozenset[str]] = {}
        for node in self._around:
            if node not in nets:
                net = frozenset(self.flood([node]))
                nets.update(dict.fromkeys(net, net))
        return nets

    def joined(self, node: str) -> frozenset[str]:
        """Return all terminals in the connected component of one, that one included."""
        return self._nets.get(node, frozenset({node}))

    def feeds(self, consumer: Consumer) -> list[Source]:
        """Return the sources connected to both the positive and the negative terminal of a consumer.

        Chargers are not counted as sources: they charge what supplies the rest.
        """
        sides = (self._nets.get(consumer.plus), self._nets.get(consumer.minus))
        if None in sides:
            return []
        own = [source for source in self.sources if source.kind != "charger"]
        return [s for s in own if (self._nets.get(s.plus), self._nets.get(self._last_minus(s))) == sides]

    def _last_minus(self, source: Source) -> str:
        return self.string(source)[-1].minus if source.kind == "solar" else source.minus

    def path(
        self, starts: Collection[str], goal: str, passes: Callable[[Edge], bool] = any_edge
    ) -> list[Edge] | None:
        """Return the edges of a shortest path (fewest edges) from a start to the goal, or None."""
        return self.paths(starts, passes)(goal)

    def paths(
        self, starts: Collection[str], passes: Callable[[Edge], bool] = any_edge
    ) -> Callable[[str], list[Edge] | None]:
        """Return a function that finds the path to any goal, as `path` does; one search serves all goals."""
        came: dict[str, tuple[Edge, str] | None] = dict.fromkeys(sorted(starts))
        todo = list(came)
        for node in todo:
            for edge in self.at(node):
                other = far_end(edge, node)
                if other not in came and passes(edge):
                    came[other] = (edge, node)
                    todo.append(other)

        def to(goal: str) -> list[Edge] | None:
            if goal not in came:
                return None
            edges: list[Edge] = []
            step = came[goal]
            while step is not None:
                edges.append(step[0])
                step = came[step[1]]
            return edges[::-1]

        return to

    @cached_property
    def negative(self) -> frozenset[str]:
        """Return the return-side terminals: connected to a negative terminal or the chassis."""
        starts = {CHASSIS, *(source.minus for source in self.sources if not self._is_in_string(source.minus))}
        starts |= {consumer.minus for consumer in self.consumers}
        return frozenset(self.flood(starts))

    @cached_property
    def positive(self) -> frozenset[str]:
        """Return the terminals on the supply side."""
        starts = {source.plus for source in self.sources if not self._is_in_string(source.plus)}
        starts |= {consumer.plus for consumer in self.consumers}
        return frozenset(self.flood(starts))

    def string(self, source: Source) -> tuple[Source, ...]:
        """Return the solar arrays in series from one on, that one first."""
        found = [source]
        solar = [other for other in self.sources if other.kind == "solar"]
        while True:
            joined = self.joined(found[-1].minus)
            behind = [other for other in solar if other.plus in joined and other not in found]
            if not behind:
                return tuple(found)
            found.append(behind[0])

    def _is_in_string(self, node: str) -> bool:
        """Return whether a terminal lies between two solar arrays in series: neither supply nor return."""
        joined = self.joined(node)
        solar = [source for source in self.sources if source.kind == "solar"]
        return any(s.plus in joined for s in solar) and any(s.minus in joined for s in solar)

    def is_return(self, edge: Edge) -> bool:
        """Return whether an edge is part of a return path to a source."""
        return edge.start in self.negative

    @cached_property
    def fuse_order(self) -> dict[str, int]:
        """The position of each fuse in the order of the file, from 0."""
        return {ident: number for number, ident in enumerate(self.fuses)}

    @cached_property
    def device_terminals(self) -> frozenset[str]:
        """The positive terminals of all sources and loads except batteries."""
        pluses = [source.plus for source in self.sources if source.kind != "battery"]
        return frozenset([*pluses, *(consumer.plus for consumer in self.consumers)])

    def batteries(self) -> tuple[Source, ...]:
        """Return the sources without a current limit."""
        return tuple(source for source in self.sources if source.kind == "battery")


def splits_charge(edge: Edge) -> bool:
    """Return whether an edge is a contact that connects the leisure batteries to the starter battery."""
    return isinstance(edge, Joint) and edge.joins_batteries


def far_end(edge: Edge, node: str) -> str:
    """Return the other end of an edge."""
    return edge.end if edge.start == node else edge.start


def owner_of(terminal: str) -> str:
    """Return the item or load that a terminal belongs to.

    Examples
    --------
    >>> owner_of("house.+")
    'house'
    """
    return terminal.partition(".")[0]
