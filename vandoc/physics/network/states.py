"""Operating states of a van: active sources, running loads, state of charge."""

from dataclasses import dataclass
from enum import Enum
from math import fsum

from vandoc.ground.calc.battery import absorption_v, full_voltage_v, rest_voltage_at
from vandoc.ground.calc.devices import Battery, Device, Inlet, Load, Supply
from vandoc.ground.data import constant
from vandoc.model import wiring
from vandoc.model.system import CompletedSystem
from vandoc.physics.network.currents import alternator_v, battery_resistance_ohm
from vandoc.physics.network.expand import efficiency_of, load_current
from vandoc.physics.network.graph import Consumer, Edge, Joint, Network, Source
from vandoc.physics.network.starts import Start


class OperatingState(Enum):
    """An operating state of the van.

    Continuous loads used in the season run in every state; in `EVERYTHING` all others too, and the
    inverter at its rated power. Leisure batteries are half charged, in `EVERYTHING` nearly empty. Starter
    batteries are full: they draw nothing, and supply once the voltage falls to theirs. The relay between
    them and the leisure batteries closes in `DRIVING`.
    """

    DRIVING = "driving"
    HOOK_UP = "on hook-up"
    SUN = "sun only"
    NIGHT = "parked at night"
    EVERYTHING = "everything on"


CHARGES = {OperatingState.DRIVING: "alternator", OperatingState.HOOK_UP: "mains", OperatingState.SUN: "solar"}
"""The source whose chargers work in the state; no others charge."""


def states_of(system: CompletedSystem) -> tuple[OperatingState, ...]:
    """Return the possible states of a van: driving needs an alternator, charging a charger for its source."""
    supplies = [piece.supplies(system.van.nominal_v) for piece in system.equipment.values()]
    sources = {one.charges_from for one in supplies if one is not None and one.kind == "charger"}
    alternator = any(one is not None and one.kind == "alternator" for one in supplies)
    return tuple(
        state
        for state in OperatingState
        if (alternator if state is OperatingState.DRIVING else CHARGES.get(state) in (None, *sources))
    )


@dataclass(frozen=True)
class VanInState:
    """One state of one van; with `only`, just these loads and inverters run, whatever the state.

    With `start`, one device is starting as well, and the leisure batteries are nearly empty.
    """

    system: CompletedSystem
    network: Network
    state: OperatingState
    only: frozenset[str] | None = None
    start: Start | None = None

    def passes(self, edge: Edge) -> bool:
        """Return whether current can pass: a contact of the engine is open unless it runs."""
        return not (isinstance(edge, Joint) and edge.with_engine) or self.state is OperatingState.DRIVING

    def runs(self, ident: str) -> bool:
        """Return whether a load or inverter is on."""
        if self.start is not None and ident == self.start.owner:
            return True
        if self.only is not None:
            return ident in self.only
        if self.state is OperatingState.EVERYTHING:
            return True
        load = self.system.loads.get(ident)
        return load is not None and self._lasts(load)

    def _lasts(self, load: wiring.Load) -> bool:
        if not load.continuous:
            return False
        if load.hours is None:
            return True
        hours = load.hours.summer_h if self.state is OperatingState.SUN else load.hours.winter_h
        return hours > 0

    def devices(self) -> list[Device]:
        """Return every device that supplies or draws current in this state, named after its item."""
        found: list[Device] = []
        for source in self.network.sources:
            device = self._source(source)
            if device is not None:
                found.append(device)
        for consumer in self.network.consumers:
            if consumer.kind == "monitor" or self.runs(consumer.owner):
                load = self.drawn(consumer)
                if load is not None:
                    found.append(load)
        return found

    def drawn(self, consumer: Consumer) -> Load | None:
        """Return a running monitor, load or inverter as a device; None if it draws no current itself."""
        ends = consumer.owner, consumer.plus, consumer.minus
        if self.start is not None and consumer.owner == self.start.owner:
            return Load(*ends, self.start.behaves, self.start.amount)
        match consumer.kind:
            case "monitor":
                return Load(*ends, "current", consumer.amps_a)
            case "inverter":
                return Load(*ends, "power", consumer.amps_a * consumer.nominal_v)
            case "load":
                load = self.system.loads[consumer.owner]
                amps = load_current(load, self.system.van.nominal_v)
                if not amps:
                    return None
                amount = {
                    "current": amps,
                    "power": amps * consumer.nominal_v,
                    "resistance": consumer.nominal_v / amps,
                }
                return Load(*ends, load.behaves, amount[load.behaves])
            case _:
                return None

    def _source(self, source: Source) -> Device | None:
        if source.charges_from not in (None, CHARGES.get(self.state)):
            return None
        ends = source.owner, source.plus, source.minus
        limit = source.limit_a or 0.0
        stiff = constant("supply resistance").value
        match source.kind:
            case "battery":
                return self._battery(source)
            case "alternator":
                volts = alternator_v(source)
                return Supply(*ends, volts, constant("alternator resistance").value, limit)
            case "solar":
                return Supply(*ends, source.nominal_v, stiff, limit)
            case "converter":
                return Supply(*ends, source.nominal_v, stiff, limit, self._inlet(source))
            case "charger":
                return Supply(*ends, self._charging_v(source), stiff, limit, self._inlet(source))

    def _battery(self, source: Source) -> Device:
        piece = self.system.batteries[source.owner]
        ends = source.owner, source.plus, source.minus
        ohm = battery_resistance_ohm(piece, self.system.van.nominal_v)
        if piece.role == "starter":
            volts = full_voltage_v(piece.chemistry, source.nominal_v, piece.cells)
            return Supply(*ends, volts, ohm, volts / ohm)
        weak = self.state is OperatingState.EVERYTHING or self.start is not None
        left = constant("nearly empty" if weak else "half charged").value
        return Battery(*ends, rest_voltage_at(piece.chemistry, left, source.nominal_v, piece.cells), ohm)

    def _charging_v(self, source: Source) -> float:
        """Return the absorption voltage that a charger holds near full charge. [V]"""
        if source.set_v is not None:
            return source.set_v
        cells = {battery.chemistry: battery.cells for battery in self.system.leisure.values()}
        return absorption_v(set(cells), source.nominal_v, cells)

    def _inlet(self, source: Source) -> Inlet | None:
        if source.inlet is None:
            return None
        name, part = f"{source.owner} inlet", efficiency_of(self.system.equipment[source.owner])
        panels = next((c for c in self.network.consumers if c.plus == source.inlet), None)
        if source.charges_from != "solar" or panels is None:
            return Inlet(name, source.inlet, source.minus, part)
        reached = self.network.joined(source.inlet)
        strings = [
            self.network.string(array)
            for array in self.network.sources
            if array.kind == "solar" and array.plus in reached
        ]
        highest = max((_string_v(string) for string in strings), default=0.0)
        most, apart = constant("best current of a panel").value, constant("difference of panels").value
        amps = fsum(
            min(min(one.best_a or 0.0, most * (one.limit_a or 0.0)) for one in string)
            for string in strings
            if _string_v(string) >= (1 - apart / 100) * highest  # the others give nothing at this voltage
        )
        return Inlet(name, source.inlet, panels.minus, part, amps)


def _string_v(string: tuple[Source, ...]) -> float:
    """Return the voltage of a string at its maximum power. [V]"""
    return fsum(source.nominal_v for source in string)
