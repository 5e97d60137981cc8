"""The proof of the trees: every fault put into the van, and its tree followed as a reader would."""

from dataclasses import dataclass
from random import Random

from vandoc.diagnosis.faults import Fault
from vandoc.diagnosis.injection import Bench
from vandoc.diagnosis.observations import Observation
from vandoc.diagnosis.problem import Ask, Cause, Problem, Reader
from vandoc.diagnosis.symptoms import Case, Diagnosis
from vandoc.diagnosis.trees import Tree, trees
from vandoc.diagnosis.trial import Change, Solved, Trial

READERS: tuple[Reader, ...] = ("owner", "electrician")
DRAWS = 3
LEAST_OHM, MOST_OHM = 0.003, 10.0


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
        What the leaf names.
    mended : bool
        Whether the symptom went with a repair on the way, such as a new fuse.
    early : bool
        Whether some question would still have told a fault from another that the leaf names.
    """

    symptom: str
    reader: Reader
    faults: tuple[str, ...]
    steps: tuple[tuple[str, str], ...]
    effort: float
    left: tuple[Cause, ...]
    mended: bool
    early: bool

    @property
    def found(self) -> bool:
        """Whether the leaf names one of the faults, or one of them was mended."""
        return self.mended or any(cause.id in self.faults for cause in self.left)

    @property
    def handed_over(self) -> bool:
        """Whether it ends in a call for help: none or more than one cause is left."""
        return len(self.left) != 1


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
        """The walks whose leaf does not name the fault."""
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

    def __init__(self, bench: Bench, change: Change) -> None:
        self._bench, self.change = bench, change
        self._solved: dict[Trial, Solved] = {}

    def solved(self, trial: Trial) -> Solved:
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
            (problem.symptom, reader): tree
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
            own = [walk for change in changes for walk in self.walks((fault,), change)]
            walks += own
            if not own:
                silent.append(fault.cause.id)
        return Proof(len(self.diagnosis.faults), tuple(silent), tuple(walks))

    def pairs(self, count: int) -> tuple[Walk, ...]:
        """Put in two faults at once, drawn at random, and follow every tree."""
        walks: list[Walk] = []
        for _ in range(count):
            one, other = self._pick.sample(self.diagnosis.faults, 2)
            change = self._drawn(one).with_(self._drawn(other))
            walks += self.walks((one, other), change)
        return tuple(walks)

    def walks(self, faults: tuple[Fault, ...], change: Change) -> list[Walk]:
        """Follow the trees of every symptom that a van with these faults shows."""
        van = self._van(change)
        found = []
        for case in self.cases:
            if case.symptom.seen(faults, van.solved):
                found += [self._walk(case, reader, faults, van) for reader in READERS]
        return found

    def _walk(self, case: Case, reader: Reader, faults: tuple[Fault, ...], van: "_Van") -> Walk:
        step, steps, effort = self.trees[case.symptom.id, reader].start, [], 0.0
        mended = False
        while isinstance(step, Ask):
            question = step.question
            observation = case.observations[question.id]
            if question.cures:
                answer = self._treated(case, observation, faults, van)
                mended = mended or answer == "mended"
            else:
                point = van.solved(observation.trial or Trial.USE)
                if observation.alone is not None and self._pick.random() < 0.5:
                    point = self._alone(question.subjects[0], van)
                value = observation.read(faults, point)
                answer = observation.answer(self._noisy(observation, value))
            steps.append((question.id, answer))
            effort += question.effort
            step = dict(step.branches)[answer]
        names = tuple(fault.cause.id for fault in faults)
        left = step.causes
        early = len(names) == 1 and not mended and self._early(case.problem, reader, names[0], left)
        return Walk(case.symptom.id, reader, names, tuple(steps), effort, left, mended, early)

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

    def _alone(self, thing: str, van: _Van) -> Solved:
        """The van with all loads off but one, as an owner may well try it."""
        others = self.diagnosis.questions.alone.others(thing)
        return self._van(van.change.with_(others)).solved(Trial.USE)

    def _noisy(self, observation: Observation, value: float | str) -> float | str:
        if isinstance(value, str):
            return value
        return value * (1 + self._pick.uniform(-observation.noise, observation.noise))

    def _treated(self, case: Case, observation: Observation, faults: tuple[Fault, ...], van: "_Van") -> str:
        """What comes of a repair on trial: the van is solved anew without what it cures."""
        plain = observation.read(faults, van.solved(Trial.USE))
        assert isinstance(plain, str)
        if "mended" not in observation.question.answers:
            return plain
        rest = tuple(fault for fault in faults if fault.cause.id not in observation.question.cures)
        if plain == "blows again" or len(rest) == len(faults):
            return plain
        change = Change()
        for fault in rest:
            change = change.with_(fault.change)
        after = self._van(change)
        return "no change" if case.symptom.seen(rest, after.solved) else "mended"

    def _van(self, change: Change) -> _Van:
        """A van with a change in it; faults that change the same share it."""
        if change.key not in self._vans:
            self._vans[change.key] = _Van(self.diagnosis.bench, change)
        return self._vans[change.key]

    def _drawn(self, fault: Fault) -> Change:
        """The change of a fault, at a size drawn at random where it has one."""
        if not fault.sized or fault.edge is None:
            return fault.change
        ohm = LEAST_OHM * (MOST_OHM / LEAST_OHM) ** self._pick.random()
        return Change({fault.edge: ohm})
