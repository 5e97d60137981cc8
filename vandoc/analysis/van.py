"""The analysed van: what its file states and every result, each computed when it is first needed."""

from collections.abc import Callable, Iterable, Iterator, Set
from contextlib import contextmanager
from copy import deepcopy
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any, TypeVar, cast

from vandoc.analysis.commissioning import Measurement, RecordedReading, sheet, taken
from vandoc.analysis.unknown import as_agreed, restored, supposed
from vandoc.ground.calc.operating_point import NoOperatingPoint
from vandoc.ground.languages import translation
from vandoc.ground.messages import Messages, speaking
from vandoc.model import equipment as eq
from vandoc.model.references import Path as Trail
from vandoc.model.system import CompletedSystem, System
from vandoc.model.unknowns import Unknown, unknowns
from vandoc.physics.energy import Energy, budget, complete
from vandoc.physics.network.body_faults import BodyFaults, find_body_faults
from vandoc.physics.network.body_feeding import Feeding, find_feeding
from vandoc.physics.network.currents import battery_resistance_ohm
from vandoc.physics.network.cuts import Cuts
from vandoc.physics.network.expand import build
from vandoc.physics.network.faults import Faults, find_faults
from vandoc.physics.network.graph import (
    Conductor,
    Consumer,
    Edge,
    FuseLink,
    Network,
    Source,
    owner_of,
    splits_charge,
)
from vandoc.physics.network.operating import SolvedState, Wiring
from vandoc.physics.network.starts import Start, starts
from vandoc.physics.network.states import OperatingState
from vandoc.physics.network.voltages import coldest_voc_v, highest_v
from vandoc.physics.network.widest_paths import WidestPaths
from vandoc.physics.sizing import SizedConductor, Sizing, size
from vandoc.reading.archive import Revision, content_of
from vandoc.reading.loader import VanFile

PHRASES = Messages("vandoc.judgement.checks", "phrases")
ROUNDING = 1 + 1e-6  # the same figure computed in two ways differs by rounding errors
PieceKind = TypeVar("PieceKind", bound=eq.Piece)
Result = TypeVar("Result")


def exceeds(value: float, limit: float) -> bool:
    """Whether a value is above its limit by more than rounding."""
    return value > limit * ROUNDING


@dataclass(frozen=True, eq=False)
class Van:
    """One van with all its results, each computed when it is first needed and then kept.

    Parameters
    ----------
    stated : System
        What its file states, with open sizes still open.
    file : VanFile or None
        The file; None for a van that exists only in a test or as a trial change.
    revisions : tuple of Revision or None
        Archived revisions, oldest first; None if the archive was not read.
    is_supposed : bool
        Whether `supposed` of another van lists it; then nothing of it is unknown.
    """

    stated: System
    file: VanFile | None = None
    revisions: tuple[Revision, ...] | None = None
    is_supposed: bool = False
    _kept: dict[Callable[..., Any], Any] = field(default_factory=dict, init=False, repr=False)

    @classmethod
    def of(cls, van_file: VanFile, revisions: Iterable[Revision] | None = None) -> "Van":
        """Return the van that a file describes."""
        return cls(van_file.system, van_file, None if revisions is None else tuple(revisions))

    @property
    def van_file(self) -> VanFile:
        """The file of a van that has one.

        Raises
        ------
        LookupError
            If the van has no file.
        """
        if self.file is None:
            raise LookupError("this van was not read from a file")
        return self.file

    @contextmanager
    def speaking(self) -> Iterator[None]:
        """Speak the language of the van inside, if a package adds it; English fills what it leaves out."""
        with speaking(translation(self.stated.language), self.stated.house.units):
            yield

    def once(self, make: "Callable[[Van], Result]") -> Result:
        """Return the result of a function of this van, computed once and kept with the van.

        Later rooms keep their results here: findings, proposals, fault trees.
        """
        if make not in self._kept:
            with self.speaking():
                self._kept[make] = make(self)
        return cast(Result, self._kept[make])

    def changed_with(self, change: Callable[[CompletedSystem], CompletedSystem]) -> "Van":
        """Return the van with a changed system, to be checked on its own; it has no file."""
        system = change(self.system)
        other = Van(system)
        other.__dict__["system"] = system  # proposed sizes stay as proposed
        return other

    def deep_copy(self) -> "Van":
        """Return a copy that shares nothing with this van, for rules of other packages."""
        completed = self.__dict__.get("system")
        stated, file, completed = deepcopy((self.stated, self.file, completed))
        other = Van(stated, file, self.revisions)
        if completed is not None:
            other.__dict__["system"] = completed
        return other

    @cached_property
    def unknown(self) -> tuple[Unknown, ...]:
        """What the file states as unknown."""
        return () if self.is_supposed else unknowns(self.stated)

    @cached_property
    def supposed(self) -> "tuple[Van, ...]":
        """The van with several sets of values for those unknown; empty if all are known."""
        systems = () if self.is_supposed else supposed(self.stated)
        return tuple(Van(system, self.file, self.revisions, True) for system in systems)

    @cached_property
    def system(self) -> CompletedSystem:
        """The system with open sizes of batteries and chargers filled in."""
        return restored([van.system for van in self.supposed], self.stated) or complete(self.stated)

    @as_agreed
    def network(self) -> Network:
        """The wiring as a graph."""
        return build(self.system)

    @as_agreed
    def sizing(self) -> Sizing:
        """Currents, current-carrying capacities, sizes and voltage drops."""
        return size(self.system, self.network)

    @cached_property
    def wiring(self) -> Wiring:
        """The wiring, ready to be solved in any operating state."""
        return Wiring(self.system, self.network, self.sizing.conductors, self.sizing.fuses)

    @property
    def mark(self) -> str | None:
        """The newest archived revision, such as ``3-ab12cd``; None if none is archived."""
        return self.revisions[-1].mark if self.revisions else None

    @cached_property
    def changed(self) -> bool:
        """Whether the file differs from the newest archived revision."""
        if not self.revisions:
            return False
        return self.revisions[-1].content != content_of(self.van_file)

    @as_agreed
    def energy(self) -> Energy:
        """The energy budget."""
        return budget(self.system, self.network, self.sizing)

    @as_agreed
    def _operating(self) -> dict[OperatingState, SolvedState | NoOperatingPoint]:
        return self.wiring.solve_all()

    @cached_property
    def solved(self) -> dict[OperatingState, SolvedState]:
        """The solved wiring in each operating state that has an operating point."""
        return {state: found for state, found in self._operating.items() if isinstance(found, SolvedState)}

    @cached_property
    def no_operating_point(self) -> dict[OperatingState, NoOperatingPoint]:
        """The operating states without an operating point: the wiring cannot feed the loads."""
        return {
            state: found for state, found in self._operating.items() if isinstance(found, NoOperatingPoint)
        }

    @as_agreed
    def starts(self) -> tuple[tuple[Start, SolvedState | NoOperatingPoint], ...]:
        """Each device that starts, with the wiring solved while it does."""
        found = starts(self.system, self.network)
        return tuple((start, self.wiring.solve_start(start)) for start in found)

    @as_agreed
    def measurements(self) -> dict[str, Measurement]:
        """The measurements of the test sheet by identifier, in order."""
        found = sheet(self.system, self.network, self.sizing, self.solved)
        return {measurement.id: measurement for measurement in found}

    @cached_property
    def taken(self) -> dict[str, list[RecordedReading]]:
        """The readings of each measurement, by its identifier, oldest first."""
        return taken(self.system)

    @as_agreed
    def faults(self) -> Faults:
        """Short circuits at fuses and at ends of cables."""
        return find_faults(self.system, self.network, self.sizing.conductors, self.sizing.fuses)

    @as_agreed
    def body_faults(self) -> BodyFaults:
        """Positive terminals that touch the vehicle body."""
        return find_body_faults(self.system, self.network, self.sizing.conductors, self.sizing.fuses)

    @cached_property
    def body_feeding(self) -> tuple[Feeding, ...]:
        """Returns that chargers, converters or panels feed for hours if their positive touches the body."""
        return find_feeding(self.system, self.network, self.sizing.conductors, self.ratings)

    def heaviest_state(self, edge_id: str) -> SolvedState | None:
        """Return the state in which a cable, fuse or contact carries most; None if no state is solved."""
        return max(self.solved.values(), key=lambda solved: abs(solved.amps[edge_id]), default=None)

    @cached_property
    def widest(self) -> WidestPaths:
        """The largest current that fuses let batteries supply to each terminal."""
        return WidestPaths(self.network, [battery.plus for battery in self.network.batteries()], self.ratings)

    @cached_property
    def widest_of(self) -> dict[str, WidestPaths]:
        """The same for each source alone, by its positive terminal."""
        pluses = dict.fromkeys(source.plus for source in self.network.sources)
        return {plus: WidestPaths(self.network, [plus], self.ratings) for plus in pluses}

    def paths_of(self, width_a: float, without: Edge | None = None) -> Callable[[str], list[Edge] | None]:
        """Return a function that finds a shortest path from a battery to a terminal.

        Parameters
        ----------
        width_a : float
            Fuses with a lower rating are not passed. [A]
        without : Edge or None
            An edge that is not used.
        """
        terminals = [battery.plus for battery in self.network.batteries()]

        def passes(edge: Edge) -> bool:
            return edge is not without and not (
                isinstance(edge, FuseLink) and self.ratings[edge.id] < width_a
            )

        if without is not None:
            return self.network.paths(terminals, passes)
        if width_a not in self._paths:
            self._paths[width_a] = self.network.paths(terminals, passes)
        return self._paths[width_a]

    @cached_property
    def _paths(self) -> dict[float, Callable[[str], list[Edge] | None]]:
        return {}

    @cached_property
    def cuts(self) -> Cuts:
        """Edges and terminals without which a part of the wiring loses all batteries."""
        return Cuts(self.network, [battery.plus for battery in self.network.batteries()])

    @cached_property
    def ratings(self) -> dict[str, float]:
        """The rating of each fuse, stated or proposed. [A]"""
        return {ident: fuse.rating_a for ident, fuse in self.sizing.fuses.items()}

    @cached_property
    def supplies(self) -> tuple[SizedConductor, ...]:
        """Cables on the supply side that are checked: all but those of the base vehicle."""
        return tuple(
            sized
            for sized in self.sizing.conductors.values()
            if not sized.conductor.vehicle and sized.conductor.start not in self.network.negative
        )

    @cached_property
    def leisure(self) -> dict[str, eq.Battery]:
        """The leisure batteries by their name in the file."""
        return self.system.leisure

    def is_leisure(self, ident: str) -> bool:
        """Whether an item is a leisure battery."""
        return ident in self.leisure

    def battery_ohm(self, ident: str) -> float:
        """Return the internal resistance of a battery, stated or by default. [Ω]"""
        return battery_resistance_ohm(self.system.batteries[ident], self.system.van.nominal_v)

    @cached_property
    def _circuit_of_load(self) -> dict[str, int]:
        return {load: number for number, c in enumerate(self.system.circuits) for load in c.loads}

    def of_kind(self, kind: type[PieceKind]) -> Iterator[tuple[str, PieceKind]]:
        """Yield the items of one class with their identifiers in the file."""
        yield from self.system.of_kind(kind).items()

    def name(self, ident: str) -> str:
        """Return the name of an item or a load as the van file states it."""
        thing = self.system.equipment.get(ident) or self.system.loads.get(ident)
        return thing.name if thing else ident

    def names(self, idents: Iterable[str]) -> str:
        """Return several names, joined for use within quotation marks."""
        return "', '".join(dict.fromkeys(self.name(ident) for ident in idents))

    def trail(self, ident: str) -> Trail:
        """Return the path of an item or a load in the file."""
        return ("equipment" if ident in self.system.equipment else "loads", ident)

    def wiring_trail(self, ident: str) -> Trail:
        """Return the path of a load's cable in the file: its circuit's, otherwise that of the load."""
        number = self._circuit_of_load.get(ident)
        return self.trail(ident) if number is None else ("circuits", number, "cable")

    def subject(self, conductor: Conductor) -> str:
        """Return the identifier that a cable is reported under: its circuit's, or its own."""
        return conductor.circuit or conductor.id

    def fuse_name(self, link: FuseLink) -> str:
        """Return the name of a fuse: its own, or its position on its fuse board."""
        board = self.name(link.owner)
        return board if link.position is None else PHRASES.say("fuse-on", position=link.position, board=board)

    def amps(self, edge: Edge) -> float:
        """Return the largest current through an edge in any sizing state. [A]"""
        return max(abs(solution.amps[edge.id]) for solution in self.sizing.states.values())

    def net(self, node: str) -> frozenset[str]:
        """Return the terminals connected to one, through fuses and contacts but no split-charge relay."""
        if node not in self._nets:
            net = frozenset(self.network.flood([node], lambda edge: not splits_charge(edge)))
            self._nets.update(dict.fromkeys(net, net))
        return self._nets[node]

    @cached_property
    def _nets(self) -> dict[str, frozenset[str]]:
        return {}

    def sources_in(self, nodes: Set[str], *kinds: str) -> list[Source]:
        """Return the sources with their positive terminal among `nodes`; of the given kinds, if any."""
        return [s for s in self.network.sources if s.plus in nodes and (not kinds or s.kind in kinds)]

    def consumers_in(self, nodes: Set[str]) -> list[Consumer]:
        """Return the consumers with their positive terminal among `nodes`."""
        return [consumer for consumer in self.network.consumers if consumer.plus in nodes]

    def nominal_v(self, node: str) -> float | None:
        """Return the nominal voltage of the source of a terminal; None without a source. [V]"""
        feeds = self.sources_in(self.network.joined(node), "battery", "converter")
        return feeds[0].nominal_v if feeds else None

    def highest_v(self, node: str) -> float | None:
        """Return the highest voltage that any source brings onto the net of a terminal, if any. [V]"""
        if node not in self._highest_v:
            found = highest_v(self.system, self.network, node)
            self._highest_v.update(dict.fromkeys(self.network.joined(node), found))
        return self._highest_v[node]

    @cached_property
    def _highest_v(self) -> dict[str, float | None]:
        return {}

    def coldest_voc_v(self, array: eq.SolarArray) -> float:
        """Return the open-circuit voltage of a string at the lowest temperature of its location. [V]"""
        return coldest_voc_v(self.system, array)

    def place_label(self, terminal: str) -> str:
        """Return the label of the place of a terminal."""
        return self.system.places[self.network.places[terminal]].label

    def fuse_subject(self, link: FuseLink) -> str:
        """Return the identifier that a fuse is reported under: its circuit's, its holder's or its board's."""
        if link.trail[0] == "circuits":
            return self.system.circuits[int(link.trail[1])].id
        return link.owner

    def cables_at(self, node: str) -> list[Conductor]:
        """Return the cables that end at a terminal."""
        return [edge for edge in self.network.at(node) if isinstance(edge, Conductor)]

    def cables_of(self, ident: str) -> list[Conductor]:
        """Return the cables that end at any terminal of an item or load."""
        return self._cables_of.get(ident, [])

    @cached_property
    def _cables_of(self) -> dict[str, list[Conductor]]:
        found: dict[str, list[Conductor]] = {}
        for cable in self.network.conductors.values():
            for owner in dict.fromkeys((owner_of(cable.start), owner_of(cable.end))):
                found.setdefault(owner, []).append(cable)
        return found
