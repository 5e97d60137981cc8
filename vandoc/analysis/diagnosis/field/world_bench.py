"""Faults injected into a van as it is met: a bench in one sampled world.

A load stops below its own voltage and then draws nothing and stays off, as electronic appliances do; lamps
and motors, for which no minimum is stated, only weaken.
"""

from dataclasses import replace

from vandoc.analysis import Van
from vandoc.analysis.diagnosis.field.worlds import World
from vandoc.analysis.diagnosis.injection import FaultBench
from vandoc.analysis.diagnosis.trial import Activity, NetworkChange, SolvedTrial, Trial
from vandoc.ground.calc.devices import Battery, Device, Load, Supply
from vandoc.physics.network.states import VanInState


class WorldBench(FaultBench):
    """A van in one world into which faults are injected.

    Parameters
    ----------
    van : Van
    world : World
    """

    def __init__(self, van: Van, world: World) -> None:
        super().__init__(van.system, van.network, van.wiring)
        self.world = world
        self.ohms = {
            edge: ohm * world.ohms.get(edge, 1.0) + world.lugs_ohm.get(edge, 0.0)
            for edge, ohm in van.wiring.cold_ohms.items()
        }
        self._cuts_out_at = {
            consumer: lowest * world.cut_out[consumer.owner]
            for consumer in van.network.consumers
            if consumer.owner in van.system.loads
            and (lowest := van.system.loads[consumer.owner].least_v()) is not None
        }
        self._sources = {source.owner: source for source in van.network.sources}

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
        return frozenset(
            consumer.owner
            for consumer, lowest_v in self._cuts_out_at.items()
            if consumer.owner in solved.device_amps
            and solved.across_v(consumer.plus, consumer.minus) < lowest_v
        )

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
        if isinstance(device, Supply):
            return self._supply(device)
        if isinstance(device, Load) and device.name in self.world.drawn and trial.doing is Activity.USE:
            return Load(*ends, device.behaves, device.amount / self.world.drawn[device.name])
        return device

    def _supply(self, device: Supply) -> Supply:
        """An alternator that rests or not, a charger at its own voltage, panels in this sun."""
        source = self._sources[device.name]
        if source.kind == "alternator":
            return replace(device, volts=device.volts * self.world.alternator_share)
        volts, inlet = device.volts * self.world.charger_share.get(device.name, 1.0), device.inlet
        if inlet is not None and inlet.limit_a is not None:  # panels
            inlet = replace(inlet, limit_a=inlet.limit_a * self.world.sun)
        return replace(device, volts=volts, inlet=inlet)
