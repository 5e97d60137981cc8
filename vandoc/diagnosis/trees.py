"""The tree that finds a cause with the least expected effort, and what it is measured against."""

from collections.abc import Callable, Collection, Iterable, Iterator
from dataclasses import dataclass, replace

from vandoc.diagnosis.bound import layered_bound
from vandoc.diagnosis.problem import Ask, Cause, Leaf, Problem, Reader, Step
from vandoc.diagnosis.search import Plan, search
from vandoc.diagnosis.table import State, Table, Test


@dataclass(frozen=True)
class Tree:
    """A tree and its measure, each effort the mean over the causes by their weight. [min]

    Attributes
    ----------
    start : Step
    effort : float
        Of this tree.
    walk : float
        Of the plain walk: every question in the order of the problem, from the supply to the load, as far as
        it still tells anything.
    exact : bool
        Whether the search has shown that no such tree takes less.
    groups : tuple of tuple of str
        Causes that no permitted question tells apart, by id; groups of one too.
    """

    start: Step
    effort: float
    walk: float
    exact: bool
    groups: tuple[tuple[str, ...], ...]


def tree(problem: Problem, reader: Reader) -> Tree:
    """Return the tree of least expected effort, or one near it where the search would take too long.

    Parameters
    ----------
    problem : Problem
    reader : Reader
        An owner is asked the owner's questions only.

    Returns
    -------
    Tree
        Every answer of a question has its branch; a leaf without causes stands for an answer that no single
        cause gives. A leaf names its causes most likely first.
    """
    return trees((problem,), reader)[0]


def trees(problems: Iterable[Problem], reader: Reader) -> tuple[Tree, ...]:
    """Return the trees of several problems; what is alike in them but for names is searched once."""
    plans: dict[object, Plan] = {}
    return tuple(_Grown(problem, reader, plans).tree() for problem in problems)


Chosen = Callable[[State], Test | None]


class _Grown:
    """A tree that first asks what takes no effort, and then searches what each of the answers leaves."""

    def __init__(self, problem: Problem, reader: Reader, plans: dict[object, Plan]) -> None:
        self.problem, self.reader, self.plans = problem, reader, plans
        self.causes = {cause.id: cause for cause in problem.causes}
        self.exact = True

    def tree(self) -> Tree:
        table = Table(self.problem, self.reader)
        step, effort = self._grow(self.problem)
        walk = _effort(table, table.start, _walk(table))
        if walk < effort:
            step, effort = self._step(table, table.start, _walk(table), {}), walk
        total = table.weight(table.start) or 1.0
        groups = tuple(tuple(cause.id for cause in group) for group in table.groups)
        return Tree(step, effort / total, walk / total, self.exact, groups)

    def _grow(self, problem: Problem) -> tuple[Step, float]:
        table = Table(problem, self.reader)
        free = table.free
        if free is None:
            if table.likeness not in self.plans:
                self.plans[table.likeness] = search(table)
            plan = self.plans[table.likeness]
            self.exact &= plan.exact
            chosen = _planned(table, plan)
            return self._step(table, table.start, chosen, {}), _effort(table, table.start, chosen)
        branches, total = [], 0.0
        for answer, state in zip(free.question.answers, table.split(table.start, free), strict=True):
            step, effort = self._grow(replace(problem, causes=tuple(_weighed(table, state))))
            branches.append((answer, step))
            total += effort
        return Ask(free.question, tuple(branches)), total

    def _step(self, table: Table, state: State, chosen: Chosen, made: dict[State, Step]) -> Step:
        if state in made:
            return made[state]
        test = chosen(state)
        if test is None:
            left = sorted(_weighed(table, state), key=lambda cause: -cause.weight)
            made[state] = Leaf(tuple(self.causes[cause.id] for cause in left))
        else:
            branches = zip(test.question.answers, table.split(state, test), strict=True)
            steps = tuple((answer, self._step(table, sub, chosen, made)) for answer, sub in branches)
            made[state] = Ask(test.question, steps)
        return made[state]


def _planned(table: Table, plan: Plan) -> Chosen:
    def chosen(state: State) -> Test | None:
        number = plan.choices.get(state)
        return None if number is None else table.tests[number]

    return chosen


def _walk(table: Table) -> Chosen:
    return lambda state: next((test for test in table.ordered if table.split(state, test)), None)


def _weighed(table: Table, state: State) -> Iterator[Cause]:
    """The causes of a state, each with the weight it has there."""
    for group, weight in table.members(state):
        part = weight / table.weights[group]
        yield from (replace(cause, weight=cause.weight * part) for cause in table.groups[group])


def _effort(table: Table, state: State, chosen: Chosen) -> float:
    """The effort of a tree, in minutes times weight."""
    test = chosen(state)
    if test is None:
        return 0.0
    own = test.question.effort * table.weight(state)
    return own + sum(_effort(table, sub, chosen) for sub in table.split(state, test) if sub.mask)


def lower_bound(problem: Problem, reader: Reader) -> float:
    """Return an effort below which no tree can be that asks first what takes no effort. [min]

    Parameters
    ----------
    problem : Problem
    reader : Reader

    Returns
    -------
    float
        The bound by layers of codes, taken where the questions without effort have been asked.
    """
    table = Table(problem, reader)
    total = table.weight(table.start) or 1.0

    def below(problem: Problem) -> float:
        table = Table(problem, reader)
        free = table.free
        if free is None:
            return layered_bound(table, table.start)
        left = table.split(table.start, free)
        return sum(below(replace(problem, causes=tuple(_weighed(table, state)))) for state in left)

    return below(problem) / total


def remaining(problem: Problem, causes: Collection[str]) -> Problem:
    """Return the problem with some of its causes only, such as those that an owner's leaf has left."""
    return replace(problem, causes=tuple(cause for cause in problem.causes if cause.id in causes))
