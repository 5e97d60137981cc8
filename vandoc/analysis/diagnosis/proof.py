"""The proof of the fault trees: each fault is injected, and the trees are followed as a reader would."""

from dataclasses import dataclass
from random import Random

from vandoc.analysis.diagnosis.completing import complete_trees
from vandoc.analysis.diagnosis.faults import Fault
from vandoc.analysis.diagnosis.gates import GATES, IN_ORDER, settled
from vandoc.analysis.diagnosis.injection import FaultBench
from vandoc.analysis.diagnosis.observations import Observation
from vandoc.analysis.diagnosis.problem import READERS, Cause, Problem, Question, QuestionNode, Reader
from vandoc.analysis.diagnosis.repairs import NO_CHANGE, REPAIR, REPAIRED, causes_named
from vandoc.analysis.diagnosis.symptoms import Diagnosis, SymptomCase
from vandoc.analysis.diagnosis.trees import Tree
from vandoc.analysis.diagnosis.trial import NetworkChange, SolvedTrial, Trial

DRAWS = 3
LEAST_OHM, MOST_OHM = 0.003, 10.0
InjectedFaults = tuple[tuple[Fault, NetworkChange], ...]
"""Faults, each with its effect at the size drawn for it."""


@dataclass(frozen=True)
class Walk:
    """One tree followed in a van with injected faults.

    Attributes
    ----------
    symptom : str
    reader : str
    faults : tuple of str
        The injected faults, by id of their cause.
    steps : tuple of (question id, answer)
    effort : float
        The time that it takes. [min]
    left : tuple of Cause
        The causes that its end names.
    repaired : tuple of str
        The faults that were repaired during the walk or at its end, by id of their cause.
    cured : bool
        Whether the last repair removed the symptom.
    handed_over : bool
        Whether it ends with a call for help, the symptom still there.
    early : bool
        Whether a question was left to an electrician that would have told the fault from another cause at the
        end.
    """

    symptom: str
    reader: Reader
    faults: tuple[str, ...]
    steps: tuple[tuple[str, str], ...]
    effort: float
    left: tuple[Cause, ...]
    repaired: tuple[str, ...]
    cured: bool
    handed_over: bool
    early: bool

    @property
    def found(self) -> bool:
        """Whether one of the faults was named and repaired, or named to whom the tree hands over."""
        named = any(cause.id in self.faults for cause in self.left)
        return bool(self.repaired) or (self.handed_over and named)

    @property
    def astray(self) -> bool:
        """Whether its end names only parts in good order."""
        return bool(self.left) and not any(cause.id in self.faults for cause in self.left)


@dataclass(frozen=True)
class Proof:
    """The result of the proof.

    Attributes
    ----------
    faults : int
        The number of faults, each injected alone.
    silent : tuple of str
        Faults without a symptom at any size drawn, by id of their cause.
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
        """Causes left together at an end of electricians' trees, with the symptoms of these trees."""
        found: dict[tuple[str, ...], dict[str, None]] = {}
        for walk in self.walks:
            if walk.reader == "electrician" and len(walk.left) > 1:
                causes = tuple(sorted(cause.id for cause in walk.left))
                found.setdefault(causes, {})[walk.symptom] = None
        return {causes: tuple(symptoms) for causes, symptoms in found.items()}

    @property
    def early(self) -> tuple[Walk, ...]:
        """The walks that ended although another question would have helped."""
        return tuple(walk for walk in self.walks if walk.early)


class _Van:
    """A van with a change, solved only in the trials that are needed."""

    def __init__(self, bench: FaultBench, change: NetworkChange) -> None:
        self._bench, self.change = bench, change
        self._solved: dict[Trial, SolvedTrial] = {}

    def solved(self, trial: Trial) -> SolvedTrial:
        if trial not in self._solved:
            self._solved[trial] = self._bench.solve(trial, self.change)
        return self._solved[trial]


class Prover:
    """Proves the fault trees of one van.

    Parameters
    ----------
    diagnosis : Diagnosis
        The faults, symptoms and questions of the van.
    seed : int
        Seed of the random sizes of faults and noise of meters.
    """

    def __init__(self, diagnosis: Diagnosis, seed: int = 0) -> None:
        self.diagnosis = diagnosis
        self._pick = Random(seed)
        self._vans: dict[object, _Van] = {}
        self.cases = tuple(diagnosis.cases())
        problems = [case.problem for case in self.cases]
        self.trees: dict[tuple[str, Reader], Tree] = {
            (problem.symptom, reader): tree
            for reader in READERS
            for problem, tree in zip(problems, complete_trees(problems, reader), strict=True)
        }

    def prove(self, draws: int = DRAWS) -> Proof:
        """Inject every single fault and follow every tree whose symptom it shows.

        Parameters
        ----------
        draws : int
            The number of random sizes of each fault that has a size, besides the largest.
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
        """Inject `count` random pairs of faults and follow every tree whose symptom they show."""
        walks: list[Walk] = []
        for _ in range(count):
            pair = self._pick.sample(self.diagnosis.faults, 2)
            walks += self.walks(tuple((fault, self._drawn(fault)) for fault in pair))
        return tuple(walks)

    def walks(self, injected: InjectedFaults) -> list[Walk]:
        """Follow the trees of every symptom that these faults show."""
        return [
            self._walk(case, reader, injected)
            for case in self.cases
            if self.shows(case, injected)
            for reader in READERS
        ]

    def shows(self, case: SymptomCase, injected: InjectedFaults) -> bool:
        """Return whether a van with these faults, solved again, shows a symptom."""
        return case.symptom.seen(_faults(injected), self._van(injected).solved)

    def _walk(self, case: SymptomCase, reader: Reader, injected: InjectedFaults) -> Walk:
        step, steps, effort = self.trees[case.symptom.id, reader].start, [], 0.0
        names = tuple(fault.cause.id for fault in _faults(injected))
        left: tuple[Cause, ...] = ()
        answer = ""
        while isinstance(step, QuestionNode):
            question = step.question
            left = causes_named(step)
            answer = self._answer(case, question, injected)
            if answer in (REPAIRED, NO_CHANGE):
                injected = tuple(one for one in injected if one[0].cause.id not in question.cures)
            if question.kind != REPAIR:
                steps.append((question.id, answer))
            effort += question.effort
            step = dict(step.branches)[answer]
        still = {fault.cause.id for fault in _faults(injected)}
        return Walk(
            case.symptom.id,
            reader,
            names,
            tuple(steps),
            effort,
            left or step.causes,
            tuple(name for name in names if name not in still),
            answer == REPAIRED,
            answer != REPAIRED,
            reader == "electrician"  # an owner's tree is short on purpose
            and len(names) == 1
            and bool(left)
            and self._early(case.problem, names[0], left),
        )

    def _answer(self, case: SymptomCase, question: Question, injected: InjectedFaults) -> str:
        """The answer of a reader; after a repair the van is solved again without the repaired faults."""
        if question.kind == GATES:
            names = {fault.cause.id for fault in _faults(injected)}
            for told, causes in settled(case.problem).items():
                if any(cause.id in names for cause in causes) and self._pick.random() < 0.5:
                    return told
            return IN_ORDER  # half the time they cannot tell
        observation = case.observations.get(question.id)
        if question.cures and REPAIRED in question.answers:
            plain = (
                observation.read(_faults(injected), self._van(injected).solved(Trial.USE))
                if observation
                else ""
            )
            if plain == "blows again":
                return plain
            rest = tuple(one for one in injected if one[0].cause.id not in question.cures)
            return NO_CHANGE if self.shows(case, rest) else REPAIRED
        assert observation is not None
        point = self._van(injected).solved(observation.trial or Trial.USE)
        return observation.answer(self._noisy(observation, observation.read(_faults(injected), point)))

    def _early(self, problem: Problem, fault: str, left: tuple[Cause, ...]) -> bool:
        """Whether a question is certain to tell a fault from another cause at the same end."""
        permitted = [question.id for question in problem.questions]
        possible = problem.possible
        return any(
            possible[question, fault].isdisjoint(possible[question, other.id])
            for other in left
            for question in permitted
            if other.id != fault and (question, fault) in possible
        )

    def _noisy(self, observation: Observation, value: float | str) -> float | str:
        if isinstance(value, str):
            return value
        return value * (1 + self._pick.uniform(-observation.noise, observation.noise))

    def _van(self, injected: InjectedFaults) -> _Van:
        return self._changed(_change(injected))

    def _changed(self, change: NetworkChange) -> _Van:
        """A van with a change; faults with the same effect share it."""
        if change.key not in self._vans:
            self._vans[change.key] = _Van(self.diagnosis.bench, change)
        return self._vans[change.key]

    def _drawn(self, fault: Fault) -> NetworkChange:
        """The effect of a fault, at a random size if it has one."""
        if not fault.sized or fault.edge is None:
            return fault.change
        ohm = LEAST_OHM * (MOST_OHM / LEAST_OHM) ** self._pick.random()
        return NetworkChange({fault.edge: ohm})


def _faults(injected: InjectedFaults) -> tuple[Fault, ...]:
    return tuple(fault for fault, _ in injected)


def _change(injected: InjectedFaults) -> NetworkChange:
    """The combined effect of faults, each at its size."""
    change = NetworkChange()
    for _, own in injected:
        change = change.with_(own)
    return change
