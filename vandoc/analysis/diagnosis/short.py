"""The owner's tree: one look, at most one fuse, then the electrician.

An owner has no meter, so more questions would seldom leave fewer causes (common practice, no source). The
look and the fuse are those after which the weight of what the ends name is highest; what the owner then puts
right alone counts twice (own choice).
"""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from math import fsum

from vandoc.analysis.diagnosis.gates import LOW, settled
from vandoc.analysis.diagnosis.permitted import Kind
from vandoc.analysis.diagnosis.problem import Cause, EndNode, Problem, Question, QuestionNode, TreeNode
from vandoc.analysis.diagnosis.repairs import REPAIRED, owner_repairs
from vandoc.analysis.diagnosis.trees import Tree

NAMED = 3
"""The most parts that an end names to an owner."""
LOOKS: frozenset[Kind] = frozenset({"works", "light", "position", "position-off"})
WORTH_ASKING = 0.05
"""The least gain of a question, as a share of the weight of all causes; own choice."""
DOUBT = 0.1
"""The part of its weight that a cause keeps after the gates have asked about it; own choice."""
Weights = Mapping[str, float]


@dataclass(frozen=True)
class _Grown:
    """A node with the weight of what its ends name, and its effort in minutes times weight."""

    node: TreeNode
    named: float
    effort: float = 0.0


def short_tree(problem: Problem) -> Tree:
    """Return the owner's tree of a problem, without gates and last steps.

    Parameters
    ----------
    problem : Problem
    """
    return _Short(problem).tree()


def in_view(problem: Problem, causes: Iterable[Cause]) -> tuple[Cause, ...]:
    """Return the causes that the gates have not asked about; all if they have asked about each.

    With everything dead nobody can tell how full the battery is, so there a flat one stays in view.
    """
    asked = set(problem.elsewhere)
    for answer, found in settled(problem).items():
        if answer != LOW or problem.symptom != "all-dead":
            asked.update(cause.id for cause in found)
    every = tuple(causes)
    return tuple(cause for cause in every if cause.id not in asked) or every


class _Short:
    def __init__(self, problem: Problem) -> None:
        self.problem = problem
        self.known = {cause.part for found in settled(problem).values() for cause in found}
        asked = [question for question in problem.questions if question.reader == "owner"]
        self.looks = [question for question in asked if self._is_look(question)]
        self.fuses = [one for one in asked if one.kind == "fuse-look"]
        self.swaps = {one.subjects: one for one in asked if one.kind == "fuse-swap"}

    def _is_look(self, question: Question) -> bool:
        """Whether to ask it: not what the gates have asked, nor the light of a load that just works."""
        (subject, *_) = question.subjects
        if question.kind == "position":
            return subject not in self.known
        of_load = question.kind == "light" and question.on == question.subjects
        return question.kind in LOOKS and not (of_load and subject not in self.problem.symptom.split())

    def tree(self) -> Tree:
        doubt = {cause.id for cause in self.problem.causes}.difference(
            cause.id for cause in in_view(self.problem, self.problem.causes)
        )
        weights = {one.id: one.weight * (DOUBT if one.id in doubt else 1.0) for one in self.problem.causes}
        self.total = fsum(weights.values()) or 1.0
        looks = (self._asked(one, weights, lambda _answer, left: self._with_fuse(left)) for one in self.looks)
        grown = self._best(self._with_fuse(weights), looks)
        effort = grown.effort / self.total
        return Tree(grown.node, effort, effort, False, ())

    def _with_fuse(self, weights: Weights) -> _Grown:
        fuses = (self._asked(one, weights, self._seen(one)) for one in self.fuses)
        return self._best(self._end(weights), fuses)

    def _seen(self, look: Question) -> Callable[[str, Weights], _Grown]:
        swap = self.swaps.get(look.subjects)

        def after(answer: str, weights: Weights) -> _Grown:
            if answer != "blown" or swap is None or not weights:
                return self._end(weights)
            return self._asked(swap, weights, lambda words, left: self._end(left, words == REPAIRED))

        return after

    def _best(self, plain: _Grown, others: Iterable[_Grown]) -> _Grown:
        """The node that names most, if that is worth its questions."""
        worth = [one for one in others if one.named >= plain.named + WORTH_ASKING * self.total]
        return max(worth, key=lambda one: (round(one.named, 9), -one.effort), default=plain)

    def _asked(self, question: Question, weights: Weights, below: Callable[[str, Weights], _Grown]) -> _Grown:
        """A question with what follows each answer; a cause with several answers gives each as often."""
        possible = {cause: self.problem.possible[question.id, cause] for cause in weights}
        grown = [
            below(
                answer,
                {
                    cause: weight / len(possible[cause])
                    for cause, weight in weights.items()
                    if answer in possible[cause]
                },
            )
            for answer in question.answers
        ]
        branches = tuple(zip(question.answers, (one.node for one in grown), strict=True))
        own = question.effort * fsum(weights.values())
        return _Grown(
            QuestionNode(question, branches),
            fsum(one.named for one in grown),
            own + fsum(one.effort for one in grown),
        )

    def _end(self, weights: Weights, repaired: bool = False) -> _Grown:
        left = sorted((one for one in self.problem.causes if one.id in weights), key=lambda one: -one.weight)
        parts: dict[str, float] = {}
        for cause in in_view(self.problem, left):
            parts[cause.part] = parts.get(cause.part, 0.0) + weights[cause.id]
        named = fsum(sorted(parts.values())[-NAMED:])
        return _Grown(EndNode(tuple(left)), 2 * named if repaired or owner_repairs(left) else named)
