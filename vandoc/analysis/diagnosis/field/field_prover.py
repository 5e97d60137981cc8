"""The proof of the fault trees in vans as they are met: worlds that no tree was made from.

Each walk takes one symptom, one world and one fault that causes the symptom there; the answers are those of
that van, with its meter. Walks of a van in good order show whether a tree names a part for nothing: their
reader sees whether an appliance works, but cannot tell whether a battery charges as it should.
"""

from collections.abc import Iterator
from dataclasses import replace
from hashlib import sha256
from random import Random

from vandoc.analysis.diagnosis.completing import complete_trees
from vandoc.analysis.diagnosis.faults import Fault
from vandoc.analysis.diagnosis.field.field_proof import FieldProof, FieldWalk
from vandoc.analysis.diagnosis.field.following import Following
from vandoc.analysis.diagnosis.field.met import MetVan, size_drawn
from vandoc.analysis.diagnosis.field.world_bench import WorldBench
from vandoc.analysis.diagnosis.field.worlds import World, worlds
from vandoc.analysis.diagnosis.problem import READERS
from vandoc.analysis.diagnosis.symptoms import Diagnosis, SymptomCase
from vandoc.analysis.diagnosis.trial import NOTHING_A

TRIES = 40  # faults and worlds tried for each walk that is wanted
WORLDS = 60
STAYS_LIVE = ("still-on", "still-charging")
"""Symptoms that no van in good order can seem to show."""


def seed_of(text: str) -> int:
    """Return a seed that follows from a text; trees are made from another."""
    return int.from_bytes(sha256(f"proof/{text}".encode()).digest()[:4])


class FieldProver:
    """Follows the fault trees of one van in fresh worlds.

    Parameters
    ----------
    diagnosis : Diagnosis
    seed : int
    misled : float
        The share of first questions that are answered wrongly.
    """

    def __init__(self, diagnosis: Diagnosis, seed: int, misled: float = 0.0) -> None:
        self.diagnosis, self.seed, self.misled = diagnosis, seed, misled
        self.van = diagnosis.van
        self.cases = tuple(diagnosis.cases())
        problems = [case.problem for case in self.cases]
        self.trees = {
            (problem.symptom, reader): tree.start
            for reader in READERS
            for problem, tree in zip(problems, complete_trees(problems, reader), strict=True)
        }
        self.worlds = worlds(self.van, seed_of(str(seed)), WORLDS)
        self._benches: dict[int, WorldBench] = {}
        self._pick = Random(seed_of(f"{seed}/walks"))
        self._unsolved = 0

    def prove(self, count: int) -> FieldProof:
        """Follow each tree in `count` vans with a fault and in a fifth as many in good order."""
        walks = [walk for case in self.cases for walk in self._of_case(case, count)]
        return FieldProof(self.seed, self.misled, tuple(walks), self._unsolved)

    def _of_case(self, case: SymptomCase, count: int) -> Iterator[FieldWalk]:
        suspects = [fault for fault in self.diagnosis.faults if self._concerns(fault, case)]
        seen = 0
        for number in range(TRIES * count):
            if seen == count or not suspects:
                break
            world = number % WORLDS
            fault = self._pick.choice(suspects)
            try:
                met = self._met(world, fault)
                if met.shows(case.symptom) and not self._met(world, None).shows(case.symptom):
                    yield from self._walks(case, world, fault, met)
                    seen += 1
            except ArithmeticError:
                self._unsolved += 1
        if case.symptom.kind not in STAYS_LIVE:
            for number in range(max(1, count // 5)):
                try:
                    met = self._met(number % WORLDS, None)
                    yield from self._walks(case, number % WORLDS, None, met)
                except ArithmeticError:
                    self._unsolved += 1

    def _concerns(self, fault: Fault, case: SymptomCase) -> bool:
        """Whether a fault can have to do with a symptom: it changes something in one of its trials."""
        if fault.cause.id in case.faults:
            return True
        for view in case.symptom.views:
            usual = self.diagnosis.bench.healthy(view.trial)
            if fault.edge is not None and abs(usual.amps_in(fault.edge)) >= NOTHING_A:
                return True
            if not {*fault.change.without, *fault.change.volts}.isdisjoint(usual.device_amps):
                return True
        return False

    def _bench(self, number: int, charged: bool = False) -> WorldBench:
        key = number + WORLDS * charged
        if key not in self._benches:
            world = self.worlds[number]
            self._benches[key] = WorldBench(self.van, self._charged(world) if charged else world)
        return self._benches[key]

    def _charged(self, world: World) -> World:
        """A world after a long charge: its batteries as in the fullest of all worlds."""
        first = next(iter(self.van.system.leisure))
        fullest = max(self.worlds, key=lambda one: one.charge_percent[first])
        return replace(
            world,
            charge_percent=fullest.charge_percent,
            rest_v=fullest.rest_v,
            taken_on_v=fullest.taken_on_v,
        )

    def _met(self, number: int, fault: Fault | None, charged: bool = False) -> MetVan:
        injected = ((fault, size_drawn(fault, self._pick)),) if fault else ()
        return MetVan(self._bench(number, charged), injected, self._pick)

    def _walks(self, case: SymptomCase, world: int, fault: Fault | None, met: MetVan) -> Iterator[FieldWalk]:
        for reader in READERS:
            start = self.trees[case.symptom.id, reader]
            following = Following(case, met, lambda: self._bench(world, True), self._pick, self.misled)
            result, steps = following.follow(start)
            yield FieldWalk(case.symptom.id, reader, fault.cause if fault else None, result, steps)
