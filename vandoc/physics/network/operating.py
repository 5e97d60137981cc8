"""The solved network of a van in each operating state: voltages, currents, losses, cable temperatures."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Protocol

from vandoc.ground.calc.conductor import resistance_per_metre
from vandoc.ground.calc.devices import Device, Supply
from vandoc.ground.calc.operating_point import NoOperatingPoint, OperatingNet, OperatingPoint, SelfHeating
from vandoc.model.system import CompletedSystem
from vandoc.physics.network.currents import Resistances
from vandoc.physics.network.expand import efficiency_of
from vandoc.physics.network.graph import Edge, Network, far_end
from vandoc.physics.network.starts import Start
from vandoc.physics.network.states import OperatingState, VanInState, states_of

NOTHING_A = 1e-9  # capacity of a cable without a tabulated one: any current heats it fully


class CableData(Protocol):
    """A cable with its size."""

    @property
    def area_mm2(self) -> float: ...
    @property
    def ambient_c(self) -> float: ...
    @property
    def capacity_a(self) -> float: ...


class FuseData(Protocol):
    """A fuse with its rating."""

    @property
    def rating_a(self) -> float: ...


@dataclass(frozen=True)
class CableHeating:
    """The temperature rise of a cable: proportional to the square of its current.

    Attributes
    ----------
    ambient_c : float
    rise_k : float
        At its capacity. [K]
    capacity_a : float
        0 if no table has one: any current then heats the cable to its rating.
    """

    ambient_c: float
    rise_k: float
    capacity_a: float

    def at_c(self, amps: float) -> float:
        """Return the conductor temperature at a current. [°C]"""
        heating = (amps / self.capacity_a) ** 2 if self.capacity_a else float(amps != 0)
        return self.ambient_c + self.rise_k * heating


@dataclass(frozen=True)
class SolvedState:
    """The solution of one operating state.

    Attributes
    ----------
    state : OperatingState
    devices : tuple of Device
        The sources and loads of the state.
    volts : mapping
        By terminal; terminals without supply are missing. [V]
    amps : mapping
        By cable, fuse or contact, from its start to its end. [A]
    device_amps : dict
        Current drawn by each load or ``… inlet``, delivered by each battery (negative when charging) or
        supply. [A]
    ohms : mapping
        By cable, fuse or contact, at operating temperature. [Ω]
    warmth : mapping
        Temperature rise of each cable.
    heat_w : dict
        Heat loss of each working charger, converter and inverter. [W]
    unfed : tuple of str
        Loads and supplies that nothing reaches.
    """

    state: OperatingState
    devices: tuple[Device, ...]
    volts: Mapping[str, float]
    amps: Mapping[str, float]
    device_amps: dict[str, float]
    ohms: Mapping[str, float]
    warmth: Mapping[str, CableHeating]
    heat_w: dict[str, float]
    unfed: tuple[str, ...]

    def loss_w(self, edge_id: str) -> float:
        """Return the heat loss of a cable, fuse or contact. [W]"""
        return self.amps[edge_id] ** 2 * self.ohms[edge_id]

    def temperature_c(self, conductor_id: str) -> float:
        """Return the temperature of a cable; above its insulation rating if overloaded. [°C]"""
        return self.warmth[conductor_id].at_c(self.amps[conductor_id])

    def across_v(self, plus: str, minus: str) -> float | None:
        """Return the voltage between two terminals, or None if one of them is dead. [V]"""
        if plus not in self.volts or minus not in self.volts:
            return None
        return self.volts[plus] - self.volts[minus]

    def losses(self, network: Network, plus: str, minus: str, way: Iterable[str]) -> list[tuple[str, float]]:
        """Return the voltage drop of each edge of a path from a source to a device and back. [V]

        Parameters
        ----------
        network : Network
        plus, minus : str
            Terminals of the device.
        way : iterable of str
            Edges, from the positive of the source to that of the device, then from the negative of the source
            to that of the device.
        """
        edges = [network.edge(ident) for ident in way]
        there = self._walked(plus, [edge for edge in edges if not network.is_return(edge)])
        back = self._walked(minus, [edge for edge in edges if network.is_return(edge)])
        return [(ident, -volts) for ident, volts in there] + back

    def _walked(self, node: str, way: Sequence[Edge]) -> list[tuple[str, float]]:
        """Return the voltage drop of each edge, calculated from the far end of a path; in path order."""
        falls = []
        for edge in reversed(way):
            other = far_end(edge, node)
            falls.append((edge.id, self.volts[node] - self.volts[other]))
            node = other
        return falls[::-1]


class Wiring:
    """The wiring of a van with its present sizes, ready to be solved in any state.

    Parameters
    ----------
    system : CompletedSystem
    network : Network
    conductors, fuses : mapping
        The size of each cable and the rating of each fuse, given or proposed.
    """

    def __init__(
        self,
        system: CompletedSystem,
        network: Network,
        conductors: Mapping[str, CableData],
        fuses: Mapping[str, FuseData],
    ) -> None:
        self.system, self.network = system, network
        cold = {}
        self.warming = {}
        self._warmth = {}
        for conductor in network.conductors.values():
            laid = conductors[conductor.id]
            hot = max(conductor.insulation_c, laid.ambient_c)
            cold[conductor.id] = resistance_per_metre(laid.area_mm2, laid.ambient_c) * conductor.length_m
            gain = resistance_per_metre(laid.area_mm2, hot) * conductor.length_m - cold[conductor.id]
            if gain > 0:
                self.warming[conductor.id] = SelfHeating(gain, laid.capacity_a or NOTHING_A)
            self._warmth[conductor.id] = CableHeating(laid.ambient_c, hot - laid.ambient_c, laid.capacity_a)
        self.ratings_a = {ident: fuse.rating_a for ident, fuse in fuses.items()}
        resistances = Resistances(system, cold, self.ratings_a)
        self.cold_ohms = {edge.id: resistances.of(edge) for edge in network.edges()}
        pieces = system.equipment.items()
        self._lossy = {n: p for n, p in pieces if p.converts_w(system.van.nominal_v) is not None}
        self._nets: dict[tuple[OperatingState, frozenset[str] | None], tuple[list[Device], OperatingNet]] = {}

    def solve(
        self, state: OperatingState, only: frozenset[str] | None = None
    ) -> SolvedState | NoOperatingPoint:
        """Solve one state; cable temperatures follow from their currents, up to the insulation rating.

        Parameters
        ----------
        state : OperatingState
        only : frozenset of str, optional
            Of the loads and inverters just these run, whatever the state says.

        Returns
        -------
        SolvedState or NoOperatingPoint
            The second if the loads of the state demand more than the wiring can supply.
        """
        return self._solved(state, *self._net(state, only))

    def solve_start(self, start: Start) -> SolvedState | NoOperatingPoint:
        """Solve the van parked at night while one device starts, with the leisure batteries nearly empty."""
        return self._solved(OperatingState.NIGHT, *self._laid_out(OperatingState.NIGHT, None, start))

    def _solved(
        self, state: OperatingState, devices: list[Device], net: OperatingNet
    ) -> SolvedState | NoOperatingPoint:
        point = net.solve(self.cold_ohms, self.warming)
        if isinstance(point, NoOperatingPoint):
            return point
        amps, ohms = point.amps, point.ohms
        if len(ohms) < len(self.cold_ohms):  # open contacts
            amps, ohms = {**dict.fromkeys(self.cold_ohms, 0.0), **amps}, {**self.cold_ohms, **ohms}
        return SolvedState(
            state,
            tuple(devices),
            point.volts,
            amps,
            point.device_amps,
            ohms,
            self._warmth,
            self._heat_w(devices, point),
            point.unfed,
        )

    def _net(self, state: OperatingState, only: frozenset[str] | None) -> tuple[list[Device], OperatingNet]:
        """Lay out the network of a state, once per state."""
        if (state, only) not in self._nets:
            self._nets[state, only] = self._laid_out(state, only)
        return self._nets[state, only]

    def _laid_out(
        self, state: OperatingState, only: frozenset[str] | None, start: Start | None = None
    ) -> tuple[list[Device], OperatingNet]:
        scene = VanInState(self.system, self.network, state, only, start)
        devices = scene.devices()
        edges = (edge for edge in self.network.edges() if scene.passes(edge))
        return devices, OperatingNet({edge.id: (edge.start, edge.end) for edge in edges}, devices)

    def solve_all(self) -> dict[OperatingState, SolvedState | NoOperatingPoint]:
        """Solve every state that the van can be in."""
        return {state: self.solve(state) for state in states_of(self.system)}

    def _heat_w(self, devices: list[Device], point: OperatingPoint) -> dict[str, float]:
        heat = {}
        by_name = {device.name: device for device in devices}
        for name, piece in self._lossy.items():
            amps = point.device_amps.get(name, 0.0)
            if not amps:
                continue
            device = by_name[name]
            watts = amps * (point.volts[device.plus] - point.volts[device.minus])
            part = efficiency_of(piece)
            heat[name] = watts * (1 / part - 1) if isinstance(device, Supply) else watts * (1 - part)
        return heat
