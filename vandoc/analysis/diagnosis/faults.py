"""Every single fault that a van can have: its cause, its likelihood and its effect on the network."""

from collections.abc import Iterator
from dataclasses import dataclass

from vandoc.analysis.diagnosis.injection import signal_of
from vandoc.analysis.diagnosis.problem import Cause
from vandoc.analysis.diagnosis.trial import OPEN_OHM, NetworkChange
from vandoc.ground.calc.battery import rest_voltage_at
from vandoc.ground.data import constant, rows
from vandoc.model import equipment as eq
from vandoc.model.system import CompletedSystem
from vandoc.model.traits import BY_HAND
from vandoc.physics.network.graph import FuseLink, Joint, Network


@dataclass(frozen=True)
class Fault:
    """A cause with its effect on the network.

    Attributes
    ----------
    cause : Cause
    change : NetworkChange
        Its effect at its largest size.
    edge : str or None
        The cable, fuse or contact that gains resistance.
    spot : str or None
        The terminal at which that resistance is; None if it is inside the part.
    sized : bool
        Whether it may have any size, from a slight resistance to an open circuit.
    """

    cause: Cause
    change: NetworkChange
    edge: str | None = None
    spot: str | None = None
    sized: bool = False

    @property
    def kind(self) -> str:
        return self.cause.kind


@dataclass(frozen=True)
class Likelihood:
    """How often one kind of fault occurs, relative to the others."""

    kind: str
    weight: float
    source: str
    from_memory: bool


def likelihoods() -> dict[str, float]:
    """Return the usual weight of each kind of fault."""
    return {row.kind: row.weight for row in rows("fault_likelihood", Likelihood)}


def faults(system: CompletedSystem, network: Network) -> tuple[Fault, ...]:
    """Return every single fault in the order of the file: cables, contacts, fuses, equipment, loads."""
    return tuple(_Faults(system, network).all())


class _Faults:
    def __init__(self, system: CompletedSystem, network: Network) -> None:
        self.system, self.network = system, network
        self.usual = likelihoods()
        self.things = system.things

    def all(self) -> Iterator[Fault]:
        for conductor in self.network.conductors.values():
            yield self._open("cable-open", conductor.id)
            for spot in dict.fromkeys((conductor.start, conductor.end)):
                if spot in self.network.places:
                    yield self._poor("joint-poor", conductor.id, spot)
        for joint in self.network.joints.values():
            yield from self._contact(joint)
        for fuse in self.network.fuses.values():
            if fuse.family != "breaker":  # its contact has these faults: one that has tripped is off
                yield self._open("fuse-blown", fuse.id, fuse.owner)
                yield self._poor("contact-poor", fuse.id, None, fuse.owner)
        for ident, piece in self.system.equipment.items():
            yield from self._piece(ident, piece)
        for ident in self.system.loads:
            yield self._dead(ident)
            fuse_before = self._last_fuse(f"{ident}.+")
            if fuse_before is not None:
                change = NetworkChange({fuse_before.id: OPEN_OHM})
                yield Fault(self._cause("shorted", ident), change, fuse_before.id)

    def _cause(self, kind: eq.FaultKind, part: str, spot: str | None = None, owner: str = "") -> Cause:
        thing = self.things.get(owner or part)
        weight = self.usual[kind] if thing is None else thing.likelihood.get(kind, self.usual[kind])
        ident = f"{kind} {part}" if spot is None else f"{kind} {part} at {spot}"
        return Cause(ident, kind, part, weight)

    def _open(self, kind: eq.FaultKind, edge: str, owner: str = "") -> Fault:
        return Fault(self._cause(kind, edge, owner=owner), NetworkChange({edge: OPEN_OHM}), edge)

    def _poor(self, kind: eq.FaultKind, edge: str, spot: str | None, owner: str = "") -> Fault:
        cause = self._cause(kind, edge, spot, owner)
        return Fault(cause, NetworkChange({edge: OPEN_OHM}), edge, spot, sized=True)

    def _contact(self, joint: Joint) -> Iterator[Fault]:
        part, edge = joint.owner, joint.id
        match joint.kind:
            case "earth" | "case":
                yield Fault(self._cause("earth-bad", part), NetworkChange({edge: OPEN_OHM}), edge, sized=True)
            case "common":
                yield self._poor("joint-poor", edge, None, part)
            case "plug":
                yield Fault(
                    self._cause("joint-poor", part), NetworkChange({edge: OPEN_OHM}), edge, sized=True
                )
            case "isolator" | "switch" | "breaker" | "changeover" | "relay" | "disconnect" | "ignition":
                opened, closed = NetworkChange({edge: OPEN_OHM}), NetworkChange(closed=frozenset({edge}))
                if joint.kind in BY_HAND:
                    yield Fault(self._cause("left-off", part), opened, edge)
                if joint.kind in ("isolator", "switch"):
                    yield Fault(self._cause("left-on", part), closed, edge)
                yield Fault(self._cause("stuck-open", part), opened, edge)
                if joint.kind in ("isolator", "switch", "relay"):
                    yield Fault(self._cause("stuck-closed", part), closed, edge)
                yield Fault(self._cause("contact-poor", part), opened, edge, sized=True)
            case "shunt" | "sensor":
                pass  # solid metal: only the cable connection can fail

    def _piece(self, ident: str, piece: eq.Piece) -> Iterator[Fault]:
        for kind in piece.breaks():
            if kind == "ignition-lost":
                if self.network.at(f"{ident}.ignition"):
                    change = NetworkChange(without=frozenset({signal_of(ident)}))
                    yield Fault(self._cause(kind, ident), change)
            elif kind in ("flat", "cell-gone"):
                battery = self.system.batteries[ident]
                yield from (fault for fault in self._battery(ident, battery) if fault.kind == kind)
            else:
                yield Fault(self._cause(kind, ident), NetworkChange(without=frozenset({ident})))

    def _battery(self, ident: str, piece: eq.Battery) -> Iterator[Fault]:
        """With a flat or failed cell a BMS disconnects the battery; without one the voltage falls."""
        cell_v = piece.traits.cell_v
        if piece.traits.management is not False or cell_v is None:
            cut_off = NetworkChange(without=frozenset({ident}))
            yield Fault(self._cause("flat", ident), cut_off)
            yield Fault(self._cause("cell-gone", ident), cut_off)
            return
        nominal = piece.nominal_v or self.system.van.nominal_v
        left = constant("rest voltage when flat").value
        half = rest_voltage_at(piece.chemistry, constant("half charged").value, nominal, piece.cells)
        gone = 1 - cell_v / half
        yield Fault(self._cause("flat", ident), NetworkChange(volts={ident: left}))
        yield Fault(self._cause("cell-gone", ident), NetworkChange(volts={ident: gone}))

    def _dead(self, ident: str) -> Fault:
        return Fault(self._cause("dead", ident), NetworkChange(without=frozenset({ident})))

    def _last_fuse(self, terminal: str) -> FuseLink | None:
        """The fuse that a short circuit at a terminal blows: the last one on the path from a source."""
        starts = [source.plus for source in self.network.sources if source.kind in ("battery", "converter")]
        way = self.network.path(starts, terminal) or []
        return next((edge for edge in reversed(way) if isinstance(edge, FuseLink)), None)
