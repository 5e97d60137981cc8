"""How the fault trees hold in vans as they are met: today's trees walked in sampled worlds.

Run it from the project's folder: ``python tests/benchmarks/field.py VAN WORLDS SEED FAULTS``. For each kind
of symptom it prints how many walks located the fault (alone, on the same part, or among at most three parts),
named a wrong part alone, or gave up, with the 95 % interval by Wilson; "anyway" marks worlds that show the
symptom without a fault. The answers come from a van that varies, a meter that is off, and loads that cut out.
Readings are judged by the limits that the pages print.
"""

import sys
from collections import Counter
from math import sqrt
from pathlib import Path
from random import Random
from types import ModuleType

from vandoc.analysis.diagnosis.observations import Observation
from vandoc.analysis.diagnosis.proof import InjectedFaults, Prover
from vandoc.analysis.diagnosis.symptoms import Diagnosis, SymptomCase
from vandoc.analysis.diagnosis.trial import OPEN_OHM, NetworkChange
from vandoc.doors.build import read

sys.modules["tests"] = ModuleType("tests")  # ours: some packages install one of that name
sys.modules["tests"].__path__ = [str(Path(__file__).parents[1])]

from tests.diagnosis.world_bench import WorldBench  # noqa: E402 (found only then)
from tests.diagnosis.worlds import World, spreads, worlds  # noqa: E402

MOST_NAMED = 3


class FieldProver(Prover):
    """A prover whose answers come from one world after another."""

    def __init__(self, van, seed: int) -> None:
        self.van = van
        super().__init__(Diagnosis(van), seed)
        self._spreads = spreads()

    def enter(self, world: World) -> None:
        self._vans.clear()
        self.world = world
        self.bench = WorldBench(self.van.system, self.van.network, self.van.wiring, world)

    def _changed(self, change: NetworkChange):
        held, self.diagnosis.bench = self.diagnosis.bench, self.bench
        try:
            return super()._changed(change)
        finally:
            self.diagnosis.bench = held

    def shows(self, case: SymptomCase, injected: InjectedFaults) -> bool:
        view = case.symptom.views[0]
        subject = case.symptom.subject
        if case.symptom.kind == "stopped" and subject in self._van(injected).solved(view.trial).stopped:
            return True
        return super().shows(case, injected)

    def _answer(self, case, question, injected):
        if question.kind == "works":
            observation: Observation = case.observations[question.id]
            if question.subjects[0] in self._van(injected).solved(observation.trial).stopped:
                return "no"
        return super()._answer(case, question, injected)

    def _noisy(self, observation: Observation, value):
        if isinstance(value, str):
            return value
        scatter = self._pick.gauss(0, self._spreads["reading scatter"].high)
        between_two = observation.question.kind == "loss"  # each of two readings of about the nominal voltage
        return value * self.world.gain + scatter * (
            2**0.5 * self.van.system.van.nominal_v if between_two else value
        )

    def _drawn(self, fault):
        if fault.sized and fault.edge and self._pick.random() < self._spreads["open contact"].high:
            return NetworkChange({fault.edge: OPEN_OHM})
        return super()._drawn(fault)


def wilson(part: int, whole: int) -> str:
    """A share with its 95 % interval, in percent."""
    if not whole:
        return "-"
    p, z = part / whole, 1.96
    middle = (p + z * z / (2 * whole)) / (1 + z * z / whole)
    half = z * sqrt(p * (1 - p) / whole + z * z / (4 * whole * whole)) / (1 + z * z / whole)
    return f"{100 * p:5.1f} ({100 * (middle - half):.1f} to {100 * (middle + half):.1f})"


def main(name: str, count: int, seed: int, each: int) -> None:
    van = read(Path("sites") / name / "van.yml")
    prover = FieldProver(van, seed)
    pick, found, failed = Random(seed), Counter(), Counter()
    for world in worlds(van.system, van.network, count, seed):
        prover.enter(world)
        for fault in pick.sample(prover.diagnosis.faults, each):
            injected = ((fault, prover._drawn(fault)),)
            try:
                shown = [case for case in prover.cases if prover.shows(case, injected)]
            except ArithmeticError:
                failed["unsolved"] += 1
                continue
            for case in shown:
                kind = case.symptom.kind
                if prover.shows(case, ()):  # so is it without any fault: nothing is wrong, or the world is
                    kind += " anyway"
                try:
                    walk = prover._walk(case, "electrician", injected)
                except (ArithmeticError, KeyError):
                    failed["walk"] += 1
                    continue
                parts = {cause.part for cause in walk.left}
                found[kind, "walks"] += 1
                if walk.cured or (fault.cause.part in parts and len(parts) <= MOST_NAMED):
                    found[kind, "located"] += 1
                elif walk.left and len(parts) == 1:
                    found[kind, "wrong"] += 1
                elif walk.left:
                    found[kind, "list"] += 1
                else:
                    found[kind, "gave up"] += 1
    print(name, "worlds", count, "seed", seed, dict(failed))
    for kind in sorted({kind for kind, _ in found}):
        walks = found[kind, "walks"]
        cells = [
            f"{one} {wilson(found[kind, one], walks)}" for one in ("located", "wrong", "list", "gave up")
        ]
        print(f"{kind:20} {walks:5}", "; ".join(cells))


if __name__ == "__main__":
    main(sys.argv[1], int(sys.argv[2]), int(sys.argv[3]), int(sys.argv[4]))
