"""A reader follows a fault tree in a van as it is met, and what becomes of it."""

from collections.abc import Callable
from random import Random

from vandoc.analysis.diagnosis.field.field_proof import Result
from vandoc.analysis.diagnosis.field.met import MetVan
from vandoc.analysis.diagnosis.field.world_bench import WorldBench
from vandoc.analysis.diagnosis.field.worlds import World
from vandoc.analysis.diagnosis.gates import GATES, IN_ORDER, LOW, low_v
from vandoc.analysis.diagnosis.problem import Cause, EndNode, Question, QuestionNode, TreeNode
from vandoc.analysis.diagnosis.repairs import NO_CHANGE, REPAIRED, causes_named
from vandoc.analysis.diagnosis.symptoms import SymptomCase
from vandoc.analysis.diagnosis.trial import Trial
from vandoc.ground.data import constant
from vandoc.model import equipment as eq

MOST_NAMED = 3
MOST_STEPS = 60
ON_ONE_PART = ("cable-open", "joint-poor", "contact-poor", "fuse-blown", "earth-bad", "stuck-open")
"""Kinds of fault for which the right part is a right name."""
VISIBLE = ("all-dead", "stopped", "weak", "cuts-out", "light")
"""Symptoms of which a reader sees at once that they are gone."""


class Following:
    """One reader with one van.

    Parameters
    ----------
    case : SymptomCase
    met : MetVan
        With one fault, or in good order.
    charged : callable
        Returns the bench of the same world after a long charge.
    pick : Random
    misled : float
        The share of first questions that are answered wrongly.
    """

    def __init__(
        self,
        case: SymptomCase,
        met: MetVan,
        charged: Callable[[], WorldBench],
        pick: Random,
        misled: float,
    ) -> None:
        self.case, self.met, self.charged, self.pick, self.misled = case, met, charged, pick, misled
        self.fault = met.faults[0] if met.faults else None
        self.system = met.bench.system

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
        self.met = MetVan(self.charged(), faults, self.pick)

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
        if self.pick.random() < self.misled:
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
