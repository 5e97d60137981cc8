"""The proof of the fault trees in vans as they are met: worlds that no tree was made from.

Each walk takes one symptom, one world and one fault that causes the symptom there; the answers are those of
that van, with its meter. Walks of a van in good order show whether a tree names a part for nothing: their
reader sees whether an appliance works, but cannot tell whether a battery charges as it should.
"""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import cached_property
from hashlib import sha256
from math import fsum
from random import Random
from typing import Literal

from vandoc.analysis.diagnosis.completing import complete_trees
from vandoc.analysis.diagnosis.faults import Fault
from vandoc.analysis.diagnosis.field.met import MetVan, size_drawn
from vandoc.analysis.diagnosis.field.world_bench import WorldBench
from vandoc.analysis.diagnosis.field.worlds import World, worlds
from vandoc.analysis.diagnosis.gates import GATES, IN_ORDER, LOW, low_v
from vandoc.analysis.diagnosis.problem import (
    READERS,
    Cause,
    EndNode,
    Question,
    QuestionNode,
    Reader,
    TreeNode,
)
from vandoc.analysis.diagnosis.repairs import NO_CHANGE, REPAIRED, causes_named
from vandoc.analysis.diagnosis.symptoms import Diagnosis, SymptomCase
from vandoc.analysis.diagnosis.trial import NOTHING_A, Trial
from vandoc.ground.calc.shares import share_interval
from vandoc.ground.data import constant, rows
from vandoc.model import equipment as eq

Result = Literal["alone", "list", "end", "wrong", "wrong list", "wrong end", "gave up"]
Quantity = Literal[
    "located", "wrong", "wrong if misled", "false find", "mean steps", "longest", "owner's longest"
]
LOCATED: tuple[Result, ...] = ("alone", "list", "end")
NAMED: tuple[Result, ...] = ("alone", "list", "wrong", "wrong list")
MOST_NAMED = 3
MOST_STEPS = 60
TRIES = 40  # faults and worlds tried for each walk that is wanted
WORLDS = 60
ON_ONE_PART = ("cable-open", "joint-poor", "contact-poor", "fuse-blown", "earth-bad", "stuck-open")
"""Kinds of fault for which the right part is a right name."""
ANY = "any"
STAYS_LIVE = ("still-on", "still-charging")
"""Symptoms that no van in good order can seem to show."""
VISIBLE = ("all-dead", "stopped", "weak", "cuts-out", "light")
"""Symptoms of which a reader sees at once that they are gone."""


@dataclass(frozen=True)
class FieldWalk:
    """One tree followed in one world.

    Attributes
    ----------
    symptom : str
    reader : str
    cause : Cause or None
        What is wrong with the van; None for a van in good order.
    result : str
        Named alone or in a list of at most three, the right end without a part, or what was missed.
    steps : int
    """

    symptom: str
    reader: Reader
    cause: Cause | None
    result: Result
    steps: int


@dataclass(frozen=True)
class Share:
    """A share of walks with its 95 % interval."""

    part: int
    whole: int

    @property
    def value(self) -> float:
        return self.part / self.whole

    @cached_property
    def interval(self) -> tuple[float, float]:
        return share_interval(self.part, self.whole)


@dataclass(frozen=True)
class Limit:
    """What trees must reach in one `Quantity`."""

    quantity: str
    symptom: str
    limit: float
    unit: str
    source: str
    from_memory: bool


@dataclass(frozen=True)
class Missed:
    """A limit that is missed."""

    group: str
    quantity: Quantity
    value: float
    limit: float


@dataclass(frozen=True)
class Group:
    """The walks of one kind of symptom by one reader; those of a van in good order apart."""

    name: str
    reader: Reader
    walks: tuple[FieldWalk, ...]
    good: tuple[FieldWalk, ...]

    @property
    def located(self) -> Share:
        return self._share(*LOCATED)

    @property
    def wrong(self) -> Share:
        return self._share("wrong")

    @property
    def gave_up(self) -> Share:
        return self._share("gave up", "wrong list", "wrong end")

    @property
    def false_finds(self) -> Share:
        return Share(sum(walk.result in NAMED for walk in self.good), len(self.good))

    @property
    def mean_steps(self) -> float:
        """The mean number of steps, weighted with the likelihood of each cause."""
        weights = [walk.cause.weight if walk.cause else 1.0 for walk in self.walks]
        steps = fsum(weight * walk.steps for weight, walk in zip(weights, self.walks, strict=True))
        return steps / fsum(weights)

    @property
    def longest(self) -> int:
        return max(walk.steps for walk in (*self.walks, *self.good))

    def _share(self, *results: Result) -> Share:
        return Share(sum(walk.result in results for walk in self.walks), len(self.walks))


@dataclass(frozen=True)
class FieldProof:
    """The result of the proof in fresh worlds.

    Attributes
    ----------
    seed : int
    misled : float
        The share of first questions answered wrongly.
    walks : tuple of FieldWalk
    unsolved : int
        Vans for which no voltages and currents agree; they are left out.
    """

    seed: int
    misled: float
    walks: tuple[FieldWalk, ...]
    unsolved: int

    def groups(self, reader: Reader) -> tuple[Group, ...]:
        """Return the walks of a reader by kind of symptom."""
        found: dict[str, list[FieldWalk]] = {}
        for walk in self.walks:
            if walk.reader == reader:
                found.setdefault(group_of(walk.symptom), []).append(walk)
        return tuple(
            Group(
                name,
                reader,
                tuple(walk for walk in walks if walk.cause),
                tuple(walk for walk in walks if not walk.cause),
            )
            for name, walks in found.items()
        )

    def missed(self) -> tuple[Missed, ...]:
        """Return the limits that are missed; a share misses one if its whole 95 % interval does."""
        limits = {(row.quantity, row.symptom): row.limit for row in rows("proof_limit", Limit)}
        found = []
        for group in self.groups("electrician"):
            found += list(_missed(group, limits, self.misled > 0))
        for group in self.groups("owner"):
            most = limits["owner's longest", ANY]
            if group.longest > most:
                found.append(Missed(group.name, "owner's longest", group.longest, most))
        return tuple(found)


def _missed(group: Group, limits: dict[tuple[str, str], float], misled: bool) -> Iterator[Missed]:
    least = limits.get(("located", group.name), limits["located", ANY])
    wrong: Quantity = "wrong if misled" if misled else "wrong"
    if group.walks:
        if not misled and 100 * group.located.interval[1] < least:
            yield Missed(group.name, "located", 100 * group.located.value, least)
        if 100 * group.wrong.interval[0] > limits[wrong, ANY]:
            yield Missed(group.name, wrong, 100 * group.wrong.value, limits[wrong, ANY])
        if group.mean_steps > limits["mean steps", ANY]:
            yield Missed(group.name, "mean steps", group.mean_steps, limits["mean steps", ANY])
    if group.good and 100 * group.false_finds.interval[0] > limits["false find", ANY]:
        yield Missed(group.name, "false find", 100 * group.false_finds.value, limits["false find", ANY])
    if group.longest > limits["longest", ANY]:
        yield Missed(group.name, "longest", group.longest, limits["longest", ANY])


def group_of(symptom: str) -> str:
    """Return the kind of a symptom; of charging, with its source."""
    return symptom if symptom.startswith("not-charging") else symptom.partition(" ")[0]


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
            result, steps = _Following(self, case, world, fault, met).follow(start)
            yield FieldWalk(case.symptom.id, reader, fault.cause if fault else None, result, steps)


class _Following:
    """One reader with one van."""

    def __init__(
        self, prover: FieldProver, case: SymptomCase, world: int, fault: Fault | None, met: MetVan
    ) -> None:
        self.prover, self.case, self.number, self.fault, self.met = prover, case, world, fault, met
        self.pick, self.system = prover._pick, prover.van.system

    @property
    def world(self) -> World:
        return self.met.bench.world

    def follow(self, step: TreeNode) -> tuple[Result, int]:
        """Return how a tree ends, and after how many steps."""
        steps = 0
        while isinstance(step, QuestionNode) and steps < MOST_STEPS:
            named = causes_named(step)
            if named and not self._is_true_but_not_all(named):
                return self._of_named(named), steps
            answer = NO_CHANGE if named else self._answer(step.question)
            if named:
                self._charge()
            else:
                steps += 1
            step = dict(step.branches)[answer]
        assert isinstance(step, EndNode) or steps == MOST_STEPS
        if isinstance(step, EndNode) and step.causes:
            return self._of_named(step.causes), steps
        return self._of_end(step.kind if isinstance(step, EndNode) else ""), steps

    def _is_true_but_not_all(self, named: tuple[Cause, ...]) -> bool:
        """Whether a battery that is low is called so, which it is charged for before anything else."""
        flat = all(cause.kind == "flat" for cause in named)
        return flat and self._is_low() and not (self.fault and self.fault.cause in named)

    def _is_low(self) -> bool:
        charges = [self.world.charge_percent[ident] for ident in self.system.leisure]
        return min(charges, default=100.0) < constant("low charge").value + 5

    def _charge(self) -> None:
        faults = tuple(zip(self.met.faults, self.met.changes, strict=True))
        self.met = MetVan(self.prover._bench(self.number, True), faults, self.pick)

    def _of_end(self, kind: str) -> Result:
        if self.fault is not None and kind == self.fault.kind:
            return "end"
        return "wrong end" if kind else "gave up"

    def _of_named(self, named: tuple[Cause, ...]) -> Result:
        right = self.fault is not None and any(_is_right(cause, self.fault.cause) for cause in named)
        parts = {cause.part for cause in named}
        if len(parts) == 1:
            return "alone" if right else "wrong"
        return "list" if right and len(parts) <= MOST_NAMED else "wrong list"

    def _answer(self, question: Question) -> str:
        if question.kind == GATES:
            return self._first(question)
        cured = self.fault is not None and self.fault.cause.id in question.cures
        if question.cures and REPAIRED in question.answers:
            observation = self.case.observations.get(question.id)
            said = observation.read(self.met.faults, self.met.solved(Trial.USE)) if observation else ""
            if said in question.answers and said not in (REPAIRED, NO_CHANGE):
                return str(said)
            return REPAIRED if cured else NO_CHANGE
        return self.met.answer(self.case.observations[question.id])

    def _first(self, question: Question) -> str:
        """The first answer that is true; about a van in good order, what is seen at once."""
        true = next((answer for answer in question.answers if self._is_so(answer)), IN_ORDER)
        if self.pick.random() < self.prover.misled:
            return self.pick.choice([answer for answer in question.answers if answer != true])
        return true

    def _is_so(self, answer: str) -> bool:
        if answer == LOW:
            return self._reads_low()
        if answer == "full":
            charges = [self.world.charge_percent[ident] for ident in self.system.leisure]
            return max(charges, default=0.0) > constant("nearly full").value
        if answer == "still-so":
            return self.fault is None and self.case.symptom.kind in VISIBLE
        return self.fault is not None and answer == self.fault.kind

    def _reads_low(self) -> bool:
        """Whether a monitor or a voltmeter shows a battery as low."""
        if self.system.of_kind(eq.Monitor):
            charges = [self.world.charge_percent[ident] for ident in self.system.leisure]
            return min(charges, default=100.0) < constant("low charge").value
        shows = next(ident for ident, load in self.system.loads.items() if load.shows_voltage)
        lamp = next((i for i, load in self.system.loads.items() if load.importance == "lighting"), shows)
        solved = self.met.solved(Trial(Trial.USE.doing, on=tuple(dict.fromkeys((shows, lamp)))))
        volts = solved.across_v(f"{shows}.+", f"{shows}.-")
        return shows not in solved.stopped and 1.0 < volts < low_v(self.system)


def _is_right(named: Cause, cause: Cause) -> bool:
    if named.part != cause.part:
        return False
    return named.kind == cause.kind or {named.kind, cause.kind} <= set(ON_ONE_PART)
