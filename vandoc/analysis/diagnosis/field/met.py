"""A van as it is met: one world, with faults in it, seen and measured as its reader would."""

from random import Random

from vandoc.analysis.diagnosis.faults import Fault
from vandoc.analysis.diagnosis.field.world_bench import WorldBench
from vandoc.analysis.diagnosis.field.worlds import spreads
from vandoc.analysis.diagnosis.observations import Observation
from vandoc.analysis.diagnosis.trial import NetworkChange, SolvedTrial, Trial
from vandoc.analysis.diagnosis.visible_symptoms import Symptom

NEEDED = ("stopped", "weak")
"""Symptoms of a device that does nothing once it has cut out, whatever its voltage is afterwards."""


class MetVan:
    """A van in one world, with faults; solved only in the trials that are asked for.

    Parameters
    ----------
    bench : WorldBench
        The van in its world.
    faults : tuple of (Fault, NetworkChange)
        Each fault with its effect at its size; none for a van in good order.
    pick : Random
        Decides the scatter between two readings.
    """

    def __init__(
        self, bench: WorldBench, faults: tuple[tuple[Fault, NetworkChange], ...], pick: Random
    ) -> None:
        self.bench, self.pick = bench, pick
        self.faults = tuple(fault for fault, _ in faults)
        self.changes = tuple(own for _, own in faults)
        self.change = NetworkChange()
        for _, own in faults:
            self.change = self.change.with_(own)
        self._solved: dict[Trial, SolvedTrial] = {}
        self._scatter = spreads()["reading scatter"].high

    def solved(self, trial: Trial) -> SolvedTrial:
        """Return the van in a trial.

        Raises
        ------
        ArithmeticError
            If no voltages and currents agree.
        """
        if trial not in self._solved:
            self._solved[trial] = self.bench.solve(trial, self.change)
        return self._solved[trial]

    def shows(self, symptom: Symptom) -> bool:
        """Return whether the van shows a symptom; an appliance that has cut out has stopped."""
        if symptom.kind in NEEDED and any(
            symptom.subject in self.solved(view.trial).stopped for view in symptom.views
        ):
            return symptom.kind == "stopped"
        return symptom.seen(self.faults, self.solved)

    def answer(self, observation: Observation) -> str:
        """Return what a reader answers, by the limits in print; the meter is off as in this world."""
        trial = observation.trial or Trial.USE
        point = self.solved(trial)
        question = observation.question
        if question.kind == "works" and question.subjects[0] in point.stopped:
            return "no"
        value = observation.read(self.faults, point)
        return observation.answer(value if isinstance(value, str) else self._metered(observation, value))

    def _metered(self, observation: Observation, value: float) -> float:
        """A value as the meter shows it; of a difference, each reading scatters on its own."""
        if observation.noise == 0:
            return value
        scatter = self.pick.gauss(0, self._scatter)
        if observation.question.kind == "loss":
            return value * self.bench.world.gain + scatter * 2**0.5 * self.bench.system.van.nominal_v
        return value * (self.bench.world.gain + scatter)


def size_drawn(fault: Fault, pick: Random) -> NetworkChange:
    """Return the effect of a fault at a random size: some poor contacts are open, others take any size."""
    if not fault.sized or fault.edge is None:
        return fault.change
    ranges = spreads()
    if pick.random() < ranges["open contact"].high:
        return fault.change
    size = ranges["bad connection"]
    return NetworkChange({fault.edge: size.low * (size.high / size.low) ** pick.random()})
