"""The proof of the trees: every fault put into the van, and its tree followed as a reader would."""

from dataclasses import dataclass
from random import Random

from vandoc.analysis.diagnosis.faults import Fault
from vandoc.analysis.diagnosis.injection import FaultBench
from vandoc.analysis.diagnosis.observations import Observation
from vandoc.analysis.diagnosis.problem import READERS, Cause, Problem, Question, QuestionNode, Reader
from vandoc.analysis.diagnosis.repairs import MEND, MENDED, NO_CHANGE, causes_named, with_last_step
from vandoc.analysis.diagnosis.symptoms import Diagnosis, SymptomCase
from vandoc.analysis.diagnosis.trees import Tree, trees
from vandoc.analysis.diagnosis.trial import NetworkChange, SolvedTrial, Trial

DRAWS = 3
LEAST_OHM, MOST_OHM = 0.003, 10.0
Broken = tuple[tuple[Fault, NetworkChange], ...]
"""Faults, each with what it does at its size."""


@dataclass(frozen=True)
class Walk:
    """One tree followed in a van with faults in it.

    Attributes
    ----------
    symptom : str
    reader : str
    faults : tuple of str
        What was put in, by the id of its cause.
    steps : tuple of (question id, answer)
    effort : float
        [min]
    left : tuple of Cause
        What its end names.
    repaired : tuple of str
        The faults that were put right on the way or at the end, by the id of their cause.
    mended : bool
        Whether the symptom went with the last repair.
    handed_over : bool
        Whether it ends where more than one thing may be wrong.
    early : bool
        Whether some question would still have told a fault from another that the end names.
    """

    symptom: str
    reader: Reader
    faults: tuple[str, ...]
    steps: tuple[tuple[str, str], ...]
    effort: float
    left: tuple[Cause, ...]
    repaired: tuple[str, ...]
    mended: bool
    handed_over: bool
    early: bool

    @property
    def found(self) -> bool:
        """Whether one of the faults was named and put right."""
        return bool(self.repaired)

    @property
    def astray(self) -> bool:
        """Whether its end names sound parts only."""
        return bool(self.left) and not any(cause.id in self.faults for cause in self.left)


@dataclass(frozen=True)
class Proof:
    """What came of it.

    Attributes
    ----------
    faults : int
        Put in one at a time.
    silent : tuple of str
        Faults that show no symptom in any size drawn, by the id of their cause.
    walks : tuple of Walk
    """

    faults: int
    silent: tuple[str, ...]
    walks: tuple[Walk, ...]

    @property
    def lost(self) -> tuple[Walk, ...]:
        """The walks whose end does not name the fault."""
        return tuple(walk for walk in self.walks if not walk.found)

    @property
    def groups(self) -> dict[tuple[str, ...], tuple[str, ...]]:
        """Causes left together at the end of an electrician's tree, with the symptoms of such trees."""
        found: dict[tuple[str, ...], dict[str, None]] = {}
        for walk in self.walks:
            if walk.reader == "electrician" and len(walk.left) > 1:
                causes = tuple(sorted(cause.id for cause in walk.left))
                found.setdefault(causes, {})[walk.symptom] = None
        return {causes: tuple(symptoms) for causes, symptoms in found.items()}

    @property
    def early(self) -> tuple[Walk, ...]:
        """The walks that ended while a question could have led further."""
        return tuple(walk for walk in self.walks if walk.early)


class _Van:
    """A van with something changed in it, solved where it is looked at."""

    def __init__(self, bench: FaultBench, change: NetworkChange) -> None:
        self._bench, self.change = bench, change
        self._solved: dict[Trial, SolvedTrial] = {}

    def solved(self, trial: Trial) -> SolvedTrial:
        if trial not in self._solved:
            self._solved[trial] = self._bench.solve(trial, self.change)
        return self._solved[trial]


class Prover:
    """A van whose trees are proved.

    Parameters
    ----------
    diagnosis : Diagnosis
    seed : int
        Of the sizes of faults and the noise of meters.
    """

    def __init__(self, diagnosis: Diagnosis, seed: int = 0) -> None:
        self.diagnosis = diagnosis
        self._pick = Random(seed)
        self._vans: dict[object, _Van] = {}
        self.cases = tuple(diagnosis.cases())
        problems = [case.problem for case in self.cases]
        self.trees: dict[tuple[str, Reader], Tree] = {
            (problem.symptom, reader): with_last_step(tree, reader)
            for reader in READERS
            for problem, tree in zip(problems, trees(problems, reader), strict=True)
        }

    def prove(self, draws: int = DRAWS) -> Proof:
        """Put in every single fault and follow every tree.

        Parameters
        ----------
        draws : int
            How many sizes are drawn of a fault that has any, beside the largest.
        """
        walks: list[Walk] = []
        silent = []
        for fault in self.diagnosis.faults:
            changes = [fault.change, *(self._drawn(fault) for _ in range(draws) if fault.sized)]
            own = [walk for change in changes for walk in self.walks(((fault, change),))]
            walks += own
            if not own:
                silent.append(fault.cause.id)
        return Proof(len(self.diagnosis.faults), tuple(silent), tuple(walks))

    def pairs(self, count: int) -> tuple[Walk, ...]:
        """Put in two faults at once, drawn at random, and follow every tree."""
        walks: list[Walk] = []
        for _ in range(count):
            pair = self._pick.sample(self.diagnosis.faults, 2)
            walks += self.walks(tuple((fault, self._drawn(fault)) for fault in pair))
        return tuple(walks)

    def walks(self, broken: Broken) -> list[Walk]:
        """Follow the trees of every symptom that a van with these faults shows."""
        return [
            self._walk(case, reader, broken)
            for case in self.cases
            if self.shows(case, broken)
            for reader in READERS
        ]

    def shows(self, case: SymptomCase, broken: Broken) -> bool:
        """Whether a van with these faults, solved anew, shows a symptom."""
        return case.symptom.seen(_faults(broken), self._van(broken).solved)

    def _walk(self, case: SymptomCase, reader: Reader, broken: Broken) -> Walk:
        step, steps, effort = self.trees[case.symptom.id, reader].start, [], 0.0
        names = tuple(fault.cause.id for fault in _faults(broken))
        left: tuple[Cause, ...] = ()
        answer = ""
        while isinstance(step, QuestionNode):
            question = step.question
            left = causes_named(step)
            answer = self._answer(case, question, broken)
            if answer in (MENDED, NO_CHANGE):
                broken = tuple(one for one in broken if one[0].cause.id not in question.cures)
            if question.kind != MEND:
                steps.append((question.id, answer))
            effort += question.effort
            step = dict(step.branches)[answer]
        still = {fault.cause.id for fault in _faults(broken)}
        return Walk(
            case.symptom.id,
            reader,
            names,
            tuple(steps),
            effort,
            left or step.causes,
            tuple(name for name in names if name not in still),
            answer == MENDED,
            not step.causes,
            len(names) == 1 and bool(left) and self._early(case.problem, reader, names[0], left),
        )

    def _answer(self, case: SymptomCase, question: Question, broken: Broken) -> str:
        """What a reader answers; after a repair the van is solved anew without what it cures."""
        observation = case.observations.get(question.id)
        if question.cures and MENDED in question.answers:
            plain = (
                observation.read(_faults(broken), self._van(broken).solved(Trial.USE)) if observation else ""
            )
            if plain == "blows again":
                return plain
            rest = tuple(one for one in broken if one[0].cause.id not in question.cures)
            return NO_CHANGE if self.shows(case, rest) else MENDED
        assert observation is not None
        point = self._van(broken).solved(observation.trial or Trial.USE)
        if observation.alone is not None and self._pick.random() < 0.5:
            point = self._alone(question.subjects[0], broken)
        return observation.answer(self._noisy(observation, observation.read(_faults(broken), point)))

    def _early(self, problem: Problem, reader: Reader, fault: str, left: tuple[Cause, ...]) -> bool:
        """Whether a question tells a fault for certain from another cause in its leaf."""
        asked = [q.id for q in problem.questions if reader == "electrician" or q.reader == "owner"]
        possible = problem.possible
        return any(
            possible[question, fault].isdisjoint(possible[question, other.id])
            for other in left
            for question in asked
            if other.id != fault and (question, fault) in possible
        )

    def _alone(self, thing: str, broken: Broken) -> SolvedTrial:
        """The van with all loads off but one, as an owner may well try it."""
        others = self.diagnosis.questions.alone.others(thing)
        return self._changed(_change(broken).with_(others)).solved(Trial.USE)

    def _noisy(self, observation: Observation, value: float | str) -> float | str:
        if isinstance(value, str):
            return value
        return value * (1 + self._pick.uniform(-observation.noise, observation.noise))

    def _van(self, broken: Broken) -> _Van:
        return self._changed(_change(broken))

    def _changed(self, change: NetworkChange) -> _Van:
        """A van with a change in it; faults that change the same share it."""
        if change.key not in self._vans:
            self._vans[change.key] = _Van(self.diagnosis.bench, change)
        return self._vans[change.key]

    def _drawn(self, fault: Fault) -> NetworkChange:
        """The change of a fault, at a size drawn at random where it has one."""
        if not fault.sized or fault.edge is None:
            return fault.change
        ohm = LEAST_OHM * (MOST_OHM / LEAST_OHM) ** self._pick.random()
        return NetworkChange({fault.edge: ohm})


def _faults(broken: Broken) -> tuple[Fault, ...]:
    return tuple(fault for fault, _ in broken)


def _change(broken: Broken) -> NetworkChange:
    """All that some faults change, each at its size."""
    change = NetworkChange()
    for _, own in broken:
        change = change.with_(own)
    return change
