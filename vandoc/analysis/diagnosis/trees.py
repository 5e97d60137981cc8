"""The tree that finds a cause with the least expected effort, and the plain walk to compare it with."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from math import fsum

from vandoc.analysis.diagnosis.problem import EndNode, Problem, QuestionNode, Reader, TreeNode
from vandoc.analysis.diagnosis.search import Plan, search
from vandoc.analysis.diagnosis.table import CandidateSet, Table, Test


@dataclass(frozen=True)
class Tree:
    """A fault tree with its mean effort over the causes by their weight.

    Attributes
    ----------
    start : TreeNode
    effort : float
        The mean effort of this tree. [min]
    walk : float
        That of the plain walk: every question that still gives information, in the order of the problem,
        from the supply to the load. [min]
    exact : bool
        Whether the search proved that no tree takes less.
    groups : tuple of tuple of str
        Causes that no permitted question tells apart, by id; groups of one included.
    """

    start: TreeNode
    effort: float
    walk: float
    exact: bool
    groups: tuple[tuple[str, ...], ...]


def tree(problem: Problem, reader: Reader) -> Tree:
    """Return the tree of least expected effort, or one near it if the search would take too long.

    Parameters
    ----------
    problem : Problem
    reader : Reader
        An owner is asked owners' questions only.

    Returns
    -------
    Tree
        Every answer of a question has its branch. An end without causes is for an answer that no single
        cause gives; other ends name their causes, most likely first.
    """
    return trees((problem,), reader)[0]


def trees(problems: Iterable[Problem], reader: Reader) -> tuple[Tree, ...]:
    """Return the trees of several problems; those that differ only in names are searched once."""
    plans: dict[object, Plan] = {}
    return tuple(_TreeBuilder(problem, reader, plans).tree() for problem in problems)


def plain_walk(problem: Problem, reader: Reader) -> float:
    """Return the mean effort of the plain walk of a problem; see `Tree`. [min]"""
    table = Table.of(problem, reader)
    return _walk(table, table.start, 0, {}) / (table.weight(table.start) or 1.0)


def mean_effort(problem: Problem, start: TreeNode) -> float:
    """Return the mean effort of a tree over the causes of a problem by their weight. [min]

    A cause with several answers to a question gives each as often.
    """
    weights = {cause.id: cause.weight for cause in problem.causes}
    return _effort(problem, start, weights) / (fsum(weights.values()) or 1.0)


def _effort(problem: Problem, step: TreeNode, weights: Mapping[str, float]) -> float:
    if isinstance(step, EndNode) or not weights:
        return 0.0
    total = step.question.effort * fsum(weights.values())
    for answer, below in step.branches:
        left = {}
        for cause, weight in weights.items():
            given = problem.possible[step.question.id, cause]
            if answer in given:
                left[cause] = weight / len(given)
        total += _effort(problem, below, left)
    return total


class _TreeBuilder:
    """Builds a tree: questions without effort first, then a search for the groups that each answer leaves."""

    def __init__(self, problem: Problem, reader: Reader, plans: dict[object, Plan]) -> None:
        self.table, self.plans = Table.of(problem, reader), plans
        self.causes = {cause.id: cause for cause in problem.causes}
        self.exact = True

    def tree(self) -> Tree:
        table = self.table
        step, effort = self._grow(table)
        walked: dict[CandidateSet, Test] = {}
        walk = _walk(table, table.start, 0, walked)
        if walk < effort:
            step, effort = self._step(table, table.start, walked, {}), walk
        total = table.weight(table.start) or 1.0
        groups = tuple(tuple(cause.id for cause in group) for group in table.groups)
        return Tree(step, effort / total, walk / total, self.exact, groups)

    def _grow(self, table: Table) -> tuple[TreeNode, float]:
        free = table.free
        if free is None:
            if table.likeness not in self.plans:
                self.plans[table.likeness] = search(table)
            plan = self.plans[table.likeness]
            self.exact &= plan.exact
            chosen = {state: table.tests[number] for state, number in plan.choices.items()}
            return self._step(table, table.start, chosen, {}), plan.effort
        branches, total = [], 0.0
        for answer, state in zip(free.question.answers, table.split(table.start, free), strict=True):
            step, effort = self._grow(table.part(state))
            branches.append((answer, step))
            total += effort
        return QuestionNode(free.question, tuple(branches)), total

    def _step(
        self,
        table: Table,
        state: CandidateSet,
        chosen: Mapping[CandidateSet, Test],
        made: dict[CandidateSet, TreeNode],
    ) -> TreeNode:
        if state in made:
            return made[state]
        test = chosen.get(state)
        if test is None:
            left = sorted(table.causes(state), key=lambda cause: -cause.weight)
            made[state] = EndNode(tuple(self.causes[cause.id] for cause in left))
        else:
            branches = zip(test.question.answers, table.split(state, test), strict=True)
            steps = tuple((answer, self._step(table, sub, chosen, made)) for answer, sub in branches)
            made[state] = QuestionNode(test.question, steps)
        return made[state]


def _walk(table: Table, state: CandidateSet, done: int, walked: dict[CandidateSet, Test]) -> float:
    """Enter the questions of the plain walk in `walked`, and return its effort in minutes times weight.

    The first `done` questions of the table are passed: one without information has none further down either.
    """
    if state.is_single:
        return 0.0
    for n in range(done, len(table.ordered)):
        test = table.ordered[n]
        if subs := table.split(state, test):
            walked[state] = test
            own = test.question.effort * table.weight(state)
            return own + fsum(_walk(table, sub, n + 1, walked) for sub in subs if sub.mask)
    return 0.0
