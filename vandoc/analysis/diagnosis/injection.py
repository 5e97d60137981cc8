"""Faults injected into the network of a van, which is then solved.

For fault-finding every load is the resistance that it has at its nominal voltage, even below its minimum
operating voltage, because a meter shows a voltage drop only while current flows. A charger or converter stops
if its input voltage is too low; a charger with an ignition feed also stops without it.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from vandoc.analysis.diagnosis.trial import NOTHING_A, OPEN_OHM, Activity, NetworkChange, SolvedTrial, Trial
from vandoc.ground.calc.devices import Battery, Device, Load, Supply
from vandoc.ground.calc.operating_point import NoOperatingPoint, OperatingNet
from vandoc.ground.data import constant
from vandoc.model.system import CompletedSystem
from vandoc.model.traits import CHASSIS
from vandoc.physics.network.graph import Consumer, Edge, Network, splits_charge
from vandoc.physics.network.operating import Wiring
from vandoc.physics.network.states import OperatingState, VanInState

SIGNAL_OHM = 1e3  # the ignition input of a charger draws only a few milliamperes

_STATES = {
    Activity.USE: OperatingState.NIGHT,
    Activity.INVERTER: OperatingState.NIGHT,
    Activity.DRIVING: OperatingState.DRIVING,
    Activity.HOOK_UP: OperatingState.HOOK_UP,
    Activity.SUN: OperatingState.SUN,
}


@dataclass(frozen=True)
class SolverLayout:
    """The equations of a network, prepared for solving.

    Attributes
    ----------
    wires : mapping
        The two terminals of each cable, fuse and closed contact.
    devices : tuple of Device
    supplies : tuple of Supply
        The devices of that class.
    net : OperatingNet
    """

    wires: Mapping[str, tuple[str, str]]
    devices: tuple[Device, ...]
    supplies: tuple[Supply, ...]
    net: OperatingNet


class FaultBench:
    """A van into which faults are injected.

    Parameters
    ----------
    system : CompletedSystem
    network : Network
    wiring : Wiring
        The network with its sizes.
    """

    def __init__(self, system: CompletedSystem, network: Network, wiring: Wiring) -> None:
        self.system, self.network = system, network
        self.ohms = wiring.cold_ohms
        self.ratings_a = wiring.ratings_a
        self.signalled = tuple(
            source.owner
            for source in network.sources
            if source.waits_for_engine and network.at(f"{source.owner}.ignition")
        )
        self._inlets = {c.owner: c for c in network.consumers if c.kind in ("charger", "converter")}
        self._nets: dict[object, SolverLayout] = {}
        self._healthy: dict[Trial, SolvedTrial] = {}

    def trials(self) -> tuple[Trial, ...]:
        """Return the trials that are possible in this van."""
        kinds = {source.kind for source in self.network.sources}
        sources = {source.charges_from for source in self.network.sources if source.kind == "charger"}
        found = [Trial.USE]
        if any(consumer.kind == "inverter" for consumer in self.network.consumers):
            found.append(Trial.INVERTER)
        joined = any(map(splits_charge, self.network.joints.values()))
        if "alternator" in kinds and ("alternator" in sources or joined):
            found.append(Trial.DRIVING)
        found += [trial for trial in (Trial.HOOK_UP, Trial.SUN) if trial.charging in sources]
        return tuple(found)

    def healthy(self, trial: Trial) -> SolvedTrial:
        """Return the solved van without a fault."""
        if trial not in self._healthy:
            self._healthy[trial] = self.solve(trial, NetworkChange())
        return self._healthy[trial]

    def solve(
        self, trial: Trial, change: NetworkChange, stopped: frozenset[str] = frozenset()
    ) -> SolvedTrial:
        """Return the solved van with a fault.

        Parameters
        ----------
        trial : Trial
        change : NetworkChange
            The effect of the fault.
        stopped : frozenset of str
            Devices known to have stopped, because a smaller fault at the same place stops them.

        Raises
        ------
        ValueError
            If the change names something that the van does not have.
        ArithmeticError
            If no voltages and currents satisfy the equations.
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
        """The chargers and converters that stop: one, if the others can run without it; otherwise all."""
        fed = [supply.name for supply in supplies if supply.inlet is not None]
        for name in fed if len(fed) > 1 else ():
            laid = self.lay_out(trial, stopped | {name}, idle, change)
            if not isinstance(laid.net.solve(ohms, search=False), NoOperatingPoint):
                return {name}
        if not fed:
            raise ArithmeticError(f"no voltages and currents agree in the van {trial.doing.value}")
        return set(fed)

    def _starved(self, solved: SolvedTrial, supplies: tuple[Supply, ...]) -> set[str]:
        """The chargers and converters that stop because their input voltage is too low."""
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
        chargers = (source for source in self.network.sources if source.kind == "charger")
        return [charger.owner for charger in chargers if charger.charges_from == trial.charging]

    def has_inlets(self, trial: Trial) -> bool:
        """Whether a charger or converter is supplied by the van, so that the network is not linear."""
        devices = self.healthy(trial).device_amps
        return trial.charging is not None or any(name.endswith(" inlet") for name in devices)

    def _has_signal(self, trial: Trial, solved: SolvedTrial, charger: str) -> bool:
        """Whether a charger has its ignition feed; true in trials in which it does not need one."""
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
        """Return the equations of a network, prepared once.

        Parameters
        ----------
        trial : Trial
        stopped : frozenset of str
            Devices that deliver nothing.
        idle : frozenset of str
            Those of them that also draw nothing; the others try to start repeatedly.
        change : NetworkChange
        """
        removed = self._removed(trial, change)
        key = trial, stopped, idle, change.closed, tuple(sorted(change.volts.items())), removed
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
                if (edge.id in change.closed or _passes(scene, trial, edge)) and edge.id not in removed
            }
            supplies = tuple(device for device in devices if isinstance(device, Supply))
            self._nets[key] = SolverLayout(wires, tuple(devices), supplies, OperatingNet(wires, devices))
        return self._nets[key]

    def _trying(self, name: str) -> Iterator[Load]:
        """A charger or converter that tries to start draws current briefly; a meter shows the dips."""
        inlet = self._inlets.get(name)
        if inlet is not None and inlet.amps_a > 0:
            ohm = inlet.nominal_v / inlet.amps_a
            yield Load(f"{name} trying", inlet.plus, inlet.minus, "resistance", ohm)

    def _removed(self, trial: Trial, change: NetworkChange) -> frozenset[str]:
        """Open edges to leave out of the equations: no charger input has a solution behind `OPEN_OHM`."""
        opened = [edge for edge, ohm in change.ohms.items() if ohm >= OPEN_OHM]
        if not opened or not self.has_inlets(trial):
            return frozenset()
        healthy = self.healthy(trial)
        draws = [healthy.amps_of(f"{name} inlet") for name in self._inlets]
        least = min((amps for amps in draws if amps > 0), default=0.0) / 2
        amps = {edge: abs(healthy.amps_in(edge)) for edge in opened}
        return frozenset(edge for edge in opened if amps[edge] > least or amps[edge] < NOTHING_A)

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
            watts = dict(trial.lamps).get(consumer.owner)
            if watts is not None:
                ohm = consumer.nominal_v**2 / watts
                found.append(Load(f"{consumer.owner} lamp", consumer.plus, consumer.minus, "resistance", ohm))
        if trial.doing is Activity.DRIVING:
            found += self._vehicle()
        return found

    def _vehicle(self) -> Iterator[Load]:
        """The current that the vehicle draws while driving: ignition feeds and charge of its own battery."""
        for charger in self.signalled:
            ends = f"{charger}.ignition", f"{charger}.-"
            yield Load(signal_of(charger), *ends, "resistance", SIGNAL_OHM)
        amps = constant("charge of a full starter battery").value
        starters = self.system.starters
        for source in self.network.sources:
            if source.owner in starters:
                ohm = source.nominal_v / amps
                yield Load(f"{source.owner} charge", source.plus, source.minus, "resistance", ohm)


def signal_of(charger: str) -> str:
    """Return the device name of the ignition feed of a charger."""
    return f"{charger} ignition"


def _passes(scene: VanInState, trial: Trial, edge: Edge) -> bool:
    return edge.id not in trial.off and scene.passes(edge)


def _is_on(consumer: Consumer, trial: Trial) -> bool:
    wanted = {
        "monitor": True,
        "load": trial.doing is Activity.USE and (trial.on is None or consumer.owner in trial.on),
        "inverter": trial.doing is Activity.INVERTER,
    }
    return wanted.get(consumer.kind, False)
