"""Faults injected into a van as it is met: a bench in one sampled world.

A load stops below its own voltage and then draws nothing and stays off, as electronic appliances do; lamps
and motors, for which no minimum is stated, only weaken.
"""

from tests.diagnosis.worlds import World
from vandoc.analysis.diagnosis.injection import FaultBench
from vandoc.analysis.diagnosis.trial import Activity, NetworkChange, SolvedTrial, Trial
from vandoc.ground.calc.devices import Battery, Device, Load, Supply
from vandoc.model.system import System
from vandoc.physics.network.graph import Network
from vandoc.physics.network.operating import Wiring
from vandoc.physics.network.states import VanInState


class WorldBench(FaultBench):
    """A van in one world into which faults are injected.

    Parameters
    ----------
    system : System
    network : Network
    wiring : Wiring
        The network with its sizes.
    world : World
    """

    def __init__(self, system: System, network: Network, wiring: Wiring, world: World) -> None:
        super().__init__(system, network, wiring)
        self.world = world
        self.ohms = {
            edge: ohm * world.ohms.get(edge, 1.0) + world.lugs_ohm.get(edge, 0.0)
            for edge, ohm in wiring.cold_ohms.items()
        }
        self._nominal = {one.owner: one.nominal_v for one in network.consumers}

    def solve(
        self, trial: Trial, change: NetworkChange, stopped: frozenset[str] = frozenset()
    ) -> SolvedTrial:
        """Return the solved van; loads that have cut out are among its stopped devices."""
        out: frozenset[str] = frozenset()
        while True:
            idle = NetworkChange(without=out)
            solved = super().solve(trial, change.with_(idle), stopped)
            more = self._cutting_out(solved) - out
            if not more:
                return solved
            out |= more

    def _cutting_out(self, solved: SolvedTrial) -> frozenset[str]:
        found = set()
        for consumer in self.network.consumers:
            load = self.system.loads.get(consumer.owner)
            if load is None or load.lowest_v is None or consumer.owner not in solved.device_amps:
                continue
            if (
                solved.across_v(consumer.plus, consumer.minus)
                < load.lowest_v * self.world.cut_out[consumer.owner]
            ):
                found.add(consumer.owner)
        return frozenset(found)

    def _devices(self, trial: Trial, scene: VanInState, change: NetworkChange) -> list[Device]:
        return [self._real(trial, device, change) for device in super()._devices(trial, scene, change)]

    def _real(self, trial: Trial, device: Device, change: NetworkChange) -> Device:
        """A device as it is in this world."""
        ends = device.name, device.plus, device.minus
        if isinstance(device, Battery):
            volts = self.world.rest_v[device.name] * change.volts.get(device.name, 1.0)
            if trial.charging and device.name not in change.volts:
                volts += self.world.taken_on_v[device.name]
            return Battery(*ends, volts, device.ohm * self.world.ageing[device.name])
        if isinstance(device, Supply) and self._is_vehicle(device.name):
            volts = device.volts * self.world.alternator_share
            return Supply(*ends, volts, device.ohm, device.limit_a, device.inlet)
        if isinstance(device, Load) and device.name in self.world.drawn and trial.doing is Activity.USE:
            return Load(*ends, device.behaves, device.amount / self.world.drawn[device.name])
        return device

    def _is_vehicle(self, name: str) -> bool:
        return any(source.owner == name and source.kind == "alternator" for source in self.network.sources)
