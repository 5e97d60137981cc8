"""The network of a van with a fault put in, solved.

For fault-finding every load is the resistance that it has at its nominal voltage, whether it runs at what it
gets or not: a meter shows a missing voltage only while something draws. A charger or converter stops when its
input falls too low, and one that waits for an ignition signal when that is missing.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from vandoc.analysis.diagnosis.trial import NOTHING_A, OPEN_OHM, Activity, NetworkChange, SolvedTrial, Trial
from vandoc.ground.calc.devices import Battery, Device, Load, Supply
from vandoc.ground.calc.operating_point import NoOperatingPoint, OperatingNet
from vandoc.ground.data import constant
from vandoc.model import equipment as eq
from vandoc.model.system import System
from vandoc.model.traits import CHASSIS
from vandoc.physics.network.graph import Consumer, Edge, Network
from vandoc.physics.network.operating import Wiring
from vandoc.physics.network.states import OperatingState, VanInState

SIGNAL_OHM = 1e3  # what the signal input of a charger draws is no more than a few milliampere

_STATES = {
    Activity.USE: OperatingState.NIGHT,
    Activity.INVERTER: OperatingState.NIGHT,
    Activity.DRIVING: OperatingState.DRIVING,
    Activity.HOOK_UP: OperatingState.HOOK_UP,
    Activity.SUN: OperatingState.SUN,
}


@dataclass(frozen=True)
class SolverLayout:
    """A network as it is laid out for solving.

    Attributes
    ----------
    wires : mapping
        The terminals that each cable, fuse and closed contact joins.
    devices : tuple of Device
    supplies : tuple of Supply
        Those of the devices that are one.
    net : OperatingNet
    """

    wires: Mapping[str, tuple[str, str]]
    devices: tuple[Device, ...]
    supplies: tuple[Supply, ...]
    net: OperatingNet


class FaultBench:
    """A van on which faults are tried.

    Parameters
    ----------
    system : System
    network : Network
    wiring : Wiring
        The same with its sizes.
    """

    def __init__(self, system: System, network: Network, wiring: Wiring) -> None:
        self.system, self.network = system, network
        self.ohms = wiring.cold_ohms
        self.ratings_a = wiring.ratings_a
        pieces = system.equipment.items()
        self.signalled = tuple(
            ident
            for ident, piece in pieces
            if isinstance(piece, eq.Charger) and piece.ignition_feed and network.at(f"{ident}.ignition")
        )
        self._inlets = {c.owner: c for c in network.consumers if c.kind in ("charger", "converter")}
        self._nets: dict[object, SolverLayout] = {}
        self._healthy: dict[Trial, SolvedTrial] = {}

    def trials(self) -> tuple[Trial, ...]:
        """Return what this van can do."""
        kinds = {type(piece) for piece in self.system.equipment.values()}
        sources = {p.source for p in self.system.equipment.values() if isinstance(p, eq.Charger)}
        relays = {p.purpose for p in self.system.equipment.values() if isinstance(p, eq.Relay)}
        found = [Trial.USE]
        if eq.Inverter in kinds:
            found.append(Trial.INVERTER)
        if eq.Alternator in kinds and ("alternator" in sources or "split-charge" in relays):
            found.append(Trial.DRIVING)
        found += [trial for trial in (Trial.HOOK_UP, Trial.SUN) if trial.charging in sources]
        return tuple(found)

    def healthy(self, trial: Trial) -> SolvedTrial:
        """Return the van without a fault."""
        if trial not in self._healthy:
            self._healthy[trial] = self.solve(trial, NetworkChange())
        return self._healthy[trial]

    def solve(
        self, trial: Trial, change: NetworkChange, stopped: frozenset[str] = frozenset()
    ) -> SolvedTrial:
        """Return the van with a fault in it.

        Parameters
        ----------
        trial : Trial
        change : NetworkChange
        stopped : frozenset of str
            Devices that are known to do nothing, as they did with a smaller fault in the same place.

        Raises
        ------
        ValueError
            If the change names what the van does not have.
        """
        ohms: Mapping[str, float] = self.ohms
        if change.ohms:
            unknown = change.ohms.keys() - ohms.keys()
            if unknown:
                raise ValueError(f"there is nothing of the name {min(unknown)!r} to change")
            ohms = {**ohms, **{edge: ohms[edge] + ohm for edge, ohm in change.ohms.items()}}
        stopped |= change.without
        idle = change.without
        while True:
            laid = self.lay_out(trial, stopped, idle, change)
            point = laid.net.solve(ohms, search=False)
            if isinstance(point, NoOperatingPoint):
                stopped |= self._first_to_stop(trial, stopped, idle, change, ohms, laid.supplies)
                continue
            solved = SolvedTrial(change, dict(point.volts), point.amps, point.device_amps, stopped)
            silent = {name for name in self.signalled if not self._has_signal(trial, solved, name)} - idle
            starved = self._starved(solved, laid.supplies)
            if not silent and not starved:
                return solved
            idle |= silent
            stopped |= silent | starved

    def _first_to_stop(
        self,
        trial: Trial,
        stopped: frozenset[str],
        idle: frozenset[str],
        change: NetworkChange,
        ohms: Mapping[str, float],
        supplies: tuple[Supply, ...],
    ) -> set[str]:
        """What can no longer be fed: the one charger or converter without which the rest can be, or all."""
        fed = [supply.name for supply in supplies if supply.inlet is not None]
        for name in fed if len(fed) > 1 else ():
            laid = self.lay_out(trial, stopped | {name}, idle, change)
            if not isinstance(laid.net.solve(ohms, search=False), NoOperatingPoint):
                return {name}
        if not fed:
            raise ArithmeticError(f"no voltages and currents agree in the van {trial.doing.value}")
        return set(fed)

    def _starved(self, solved: SolvedTrial, supplies: tuple[Supply, ...]) -> set[str]:
        """What stops, for its input is too low."""
        lowest = constant("lowest input of a charger").value
        return {
            supply.name
            for supply in supplies
            if supply.inlet is not None
            and solved.across_v(supply.inlet.plus, supply.inlet.minus)
            < lowest * self._inlets[supply.name].nominal_v
        }

    def passes(self, trial: Trial, edge: str) -> bool:
        """Whether a cable, fuse or contact is meant to carry current in a trial."""
        scene = VanInState(self.system, self.network, _STATES[trial.doing])
        return _passes(scene, trial, self.network.edge(edge))

    def chargers(self, trial: Trial) -> list[str]:
        """Return the chargers that work in a trial."""
        pieces = self.system.equipment.items()
        return [n for n, p in pieces if isinstance(p, eq.Charger) and p.source == trial.charging]

    def has_inlets(self, trial: Trial) -> bool:
        """Whether a charger or converter works that the van feeds, so that the network is not linear."""
        devices = self.healthy(trial).device_amps
        return trial.charging is not None or any(name.endswith(" inlet") for name in devices)

    def _has_signal(self, trial: Trial, solved: SolvedTrial, charger: str) -> bool:
        """Whether a charger gets its ignition signal; it needs none where it does not work."""
        if trial.doing is not Activity.DRIVING:
            return True
        if signal_of(charger) in solved.stopped:
            return False
        minus = CHASSIS if CHASSIS in solved.volts else f"{charger}.-"
        volts = solved.across_v(f"{charger}.ignition", minus)
        return volts >= self._inlets[charger].nominal_v / 2

    def lay_out(
        self, trial: Trial, stopped: frozenset[str], idle: frozenset[str], change: NetworkChange
    ) -> SolverLayout:
        """Lay out a network, once; what stopped for want of input and is not idle tries again and again."""
        cut = self._cut(trial, change)
        key = trial, stopped, idle, change.closed, tuple(sorted(change.volts.items())), cut
        if key not in self._nets:
            scene = VanInState(self.system, self.network, _STATES[trial.doing])
            devices: list[Device] = []
            for device in self._devices(trial, scene, change):
                if device.name not in stopped:
                    devices.append(device)
                elif device.name not in idle and isinstance(device, Supply):
                    devices += self._trying(device.name)
            wires = {
                edge.id: (edge.start, edge.end)
                for edge in self.network.edges()
                if (edge.id in change.closed or _passes(scene, trial, edge)) and edge.id not in cut
            }
            supplies = tuple(device for device in devices if isinstance(device, Supply))
            self._nets[key] = SolverLayout(wires, tuple(devices), supplies, OperatingNet(wires, devices))
        return self._nets[key]

    def _trying(self, name: str) -> Iterator[Load]:
        """A charger or converter that tries to start draws for moments; a meter shows the dips."""
        inlet = self._inlets.get(name)
        if inlet is not None and inlet.amps_a > 0:
            ohm = inlet.nominal_v / inlet.amps_a
            yield Load(f"{name} trying", inlet.plus, inlet.minus, "resistance", ohm)

    def _cut(self, trial: Trial, change: NetworkChange) -> frozenset[str]:
        """Open edges that are best taken out: the inlet of a charger cannot live behind `OPEN_OHM`."""
        cut = [edge for edge, ohm in change.ohms.items() if ohm >= OPEN_OHM]
        if not cut or not self.has_inlets(trial):
            return frozenset()
        healthy = self.healthy(trial)
        draws = [healthy.amps_of(f"{name} inlet") for name in self._inlets]
        least = min((amps for amps in draws if amps > 0), default=0.0) / 2
        amps = {edge: abs(healthy.amps_in(edge)) for edge in cut}
        return frozenset(edge for edge in cut if amps[edge] > least or amps[edge] < NOTHING_A)

    def _devices(self, trial: Trial, scene: VanInState, change: NetworkChange) -> list[Device]:
        found: list[Device] = []
        for device in scene.devices():
            if isinstance(device, Battery) and device.name in change.volts:
                volts = device.volts * change.volts[device.name]
                device = Battery(device.name, device.plus, device.minus, volts, device.ohm)
            if not isinstance(device, Load):
                found.append(device)
        for consumer in self.network.consumers:
            if consumer.amps_a > 0 and _is_on(consumer, trial):
                ohm = consumer.nominal_v / consumer.amps_a
                found.append(Load(consumer.owner, consumer.plus, consumer.minus, "resistance", ohm))
        if trial.doing is Activity.DRIVING:
            found += self._vehicle()
        return found

    def _vehicle(self) -> Iterator[Load]:
        """What the vehicle draws as it drives: signals, and a little charge for a full starter battery."""
        for charger in self.signalled:
            ends = f"{charger}.ignition", f"{charger}.-"
            yield Load(signal_of(charger), *ends, "resistance", SIGNAL_OHM)
        amps = constant("charge of a full starter battery").value
        for source in self.network.sources:
            piece = self.system.equipment[source.owner]
            if isinstance(piece, eq.Battery) and piece.role == "starter":
                ohm = source.nominal_v / amps
                yield Load(f"{source.owner} charge", source.plus, source.minus, "resistance", ohm)


def signal_of(charger: str) -> str:
    """Return the name under which the ignition signal of a charger is a device."""
    return f"{charger} ignition"


def _passes(scene: VanInState, trial: Trial, edge: Edge) -> bool:
    return edge.id not in trial.off and scene.passes(edge)


def _is_on(consumer: Consumer, trial: Trial) -> bool:
    wanted = {
        "monitor": True,
        "load": trial.doing is Activity.USE,
        "inverter": trial.doing is Activity.INVERTER,
    }
    return wanted.get(consumer.kind, False)
