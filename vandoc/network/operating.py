"""The solved network of a van in each operating state: voltages, currents, losses and warm cables."""

from collections.abc import Mapping
from dataclasses import dataclass
from math import inf
from typing import Protocol

from vandoc.calc.conductor import resistance_per_metre
from vandoc.calc.devices import Device, Supply
from vandoc.calc.operating_point import NoOperatingPoint, OperatingNet, OperatingPoint
from vandoc.model.equipment import Charger, Converter, Inverter
from vandoc.model.system import System
from vandoc.network.currents import Resistances
from vandoc.network.expand import efficiency_of
from vandoc.network.graph import Conductor, Network
from vandoc.network.states import OperatingState, Scene, states_of

SETTLED = 1e-6  # part of its resistance that a cable may still change by when its warming counts as done
ROUNDS = 60  # far more than warming takes to settle


class Laid(Protocol):
    """A cable as sized."""

    @property
    def area_mm2(self) -> float: ...
    @property
    def ambient_c(self) -> float: ...
    @property
    def capacity_a(self) -> float: ...


class Fitted(Protocol):
    """A fuse as sized."""

    @property
    def rating_a(self) -> float: ...


@dataclass(frozen=True)
class SolvedState:
    """One operating state.

    Attributes
    ----------
    state : OperatingState
    devices : tuple of Device
        What gave and took.
    volts : dict
        By terminal; terminals that nothing feeds are missing. [V]
    amps : dict
        By cable, fuse or contact, from its start to its end. [A]
    device_amps : dict
        What each load or ``… inlet`` takes, what each battery (negative when it is charged) or supply
        gives. [A]
    ohms : dict
        By cable, fuse or contact, warm. [Ω]
    temperatures_c : dict
        Of each cable; above its insulation where it carries more than it can. [°C]
    heat_w : dict
        What each working charger, converter and inverter turns into heat. [W]
    unfed : tuple of str
        Loads and supplies that nothing reaches.
    """

    state: OperatingState
    devices: tuple[Device, ...]
    volts: dict[str, float]
    amps: dict[str, float]
    device_amps: dict[str, float]
    ohms: dict[str, float]
    temperatures_c: dict[str, float]
    heat_w: dict[str, float]
    unfed: tuple[str, ...]

    def loss_w(self, edge_id: str) -> float:
        """Return the heat in a cable, fuse or contact. [W]"""
        return self.amps[edge_id] ** 2 * self.ohms[edge_id]

    def across_v(self, plus: str, minus: str) -> float | None:
        """Return the voltage between two terminals, or None where one of them is dead. [V]"""
        if plus not in self.volts or minus not in self.volts:
            return None
        return self.volts[plus] - self.volts[minus]


class Wiring:
    """The wiring of a van with the sizes it has, ready to be solved in any state.

    Parameters
    ----------
    system : System
    network : Network
    conductors, fuses : mapping
        The size of each cable and the rating of each fuse, given or proposed.
    """

    def __init__(
        self,
        system: System,
        network: Network,
        conductors: Mapping[str, Laid],
        fuses: Mapping[str, Fitted],
    ) -> None:
        self.system, self.network, self._laid = system, network, conductors
        self._cold: dict[str, float] = {}
        self._warm: dict[str, float] = {}
        for conductor in network.conductors.values():
            laid = conductors[conductor.id]
            hot = max(conductor.insulation_c, laid.ambient_c)
            self._cold[conductor.id] = (
                resistance_per_metre(laid.area_mm2, laid.ambient_c) * conductor.length_m
            )
            self._warm[conductor.id] = resistance_per_metre(laid.area_mm2, hot) * conductor.length_m
        ratings = {ident: fuse.rating_a for ident, fuse in fuses.items()}
        cold = Resistances(system, self._cold, ratings)
        self._ohms = {edge.id: cold.of(edge) for edge in network.edges()}

    def solve(self, state: OperatingState) -> SolvedState | NoOperatingPoint:
        """Solve one state; cables are as warm as their current makes them, up to their insulation's rating.

        Returns
        -------
        SolvedState or NoOperatingPoint
            The second where the loads of the state ask for more than the wiring can carry to them.
        """
        scene = Scene(self.system, self.network, state)
        devices = scene.devices()
        wires = {edge.id: (edge.start, edge.end) for edge in self.network.edges() if scene.passes(edge)}
        net = OperatingNet(wires, devices)
        ohms = dict(self._ohms)
        point = net.solve(ohms)
        for _ in range(ROUNDS):
            if isinstance(point, NoOperatingPoint) or not self._warm_up(point, ohms):
                break
            point = net.solve(ohms)
        if isinstance(point, NoOperatingPoint):
            return point
        amps = {edge_id: point.amps.get(edge_id, 0.0) for edge_id in self._ohms}
        return SolvedState(
            state,
            tuple(devices),
            point.volts,
            amps,
            point.device_amps,
            ohms,
            {c.id: self._temperature_c(c, amps[c.id]) for c in self.network.conductors.values()},
            self._heat_w(devices, point),
            point.unfed,
        )

    def solve_all(self) -> dict[OperatingState, SolvedState | NoOperatingPoint]:
        """Solve every state that the van can be in."""
        return {state: self.solve(state) for state in states_of(self.system)}

    def _heating(self, conductor_id: str, amps: float) -> float:
        """Part of the rise to its insulation's rating that a current makes, above 1 when overloaded. [1]"""
        capacity = self._laid[conductor_id].capacity_a
        return (amps / capacity) ** 2 if capacity else inf if amps else 0.0

    def _warm_up(self, point: OperatingPoint, ohms: dict[str, float]) -> bool:
        """Give each cable the resistance of its warmth; return whether any changed."""
        changed = False
        for ident, cold in self._cold.items():
            heating = min(self._heating(ident, point.amps.get(ident, 0.0)), 1.0)
            ohm = max(cold + (self._warm[ident] - cold) * heating, self._ohms[ident])
            if abs(ohm - ohms[ident]) > SETTLED * ohm:
                ohms[ident] = ohm
                changed = True
        return changed

    def _temperature_c(self, conductor: Conductor, amps: float) -> float:
        laid = self._laid[conductor.id]
        rise = max(conductor.insulation_c - laid.ambient_c, 0.0)
        heating = self._heating(conductor.id, amps)
        return laid.ambient_c + rise * (heating if laid.capacity_a else min(heating, 1.0))

    def _heat_w(self, devices: list[Device], point: OperatingPoint) -> dict[str, float]:
        heat = {}
        for device in devices:
            piece = self.system.equipment.get(device.name)
            amps = point.device_amps.get(device.name, 0.0)
            if not isinstance(piece, Charger | Converter | Inverter) or not amps:
                continue
            watts = amps * (point.volts[device.plus] - point.volts[device.minus])
            part = efficiency_of(piece)
            heat[device.name] = watts * (1 / part - 1) if isinstance(device, Supply) else watts * (1 - part)
        return heat
