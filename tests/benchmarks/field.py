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

from vandoc.analysis.diagnosis.field.met import MetVan, size_drawn
from vandoc.analysis.diagnosis.field.world_bench import WorldBench
from vandoc.analysis.diagnosis.field.worlds import World, worlds
from vandoc.analysis.diagnosis.proof import InjectedFaults, Prover
from vandoc.analysis.diagnosis.symptoms import Diagnosis, SymptomCase
from vandoc.doors.build import read

MOST_NAMED = 3


class FieldProver(Prover):
    """A prover whose answers come from one world after another."""

    def __init__(self, van, seed: int) -> None:
        super().__init__(Diagnosis(van), seed)

    def enter(self, world: World) -> None:
        self._vans.clear()
        self.bench = WorldBench(self.diagnosis.van, world)

    def _van(self, injected: InjectedFaults) -> MetVan:
        key = tuple((fault.cause.id, change.key) for fault, change in injected)
        if key not in self._vans:
            self._vans[key] = MetVan(self.bench, injected, self._pick)
        return self._vans[key]

    def shows(self, case: SymptomCase, injected: InjectedFaults) -> bool:
        return self._van(injected).shows(case.symptom)

    def _answer(self, case, question, injected):
        observation = case.observations.get(question.id)
        if observation is None or question.cures:
            return super()._answer(case, question, injected)
        return self._van(injected).answer(observation)

    def _drawn(self, fault):
        return size_drawn(fault, self._pick)


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
    for world in worlds(van, seed, count):
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
