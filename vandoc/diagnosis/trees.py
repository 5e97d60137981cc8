"""The tree that finds a cause with the least expected effort, and what it is measured against."""

from collections.abc import Callable, Collection, Iterable
from dataclasses import dataclass, replace

from vandoc.diagnosis.bound import layered_bound
from vandoc.diagnosis.problem import Ask, Leaf, Problem, Reader, Step
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
    """Return the trees of several problems; of those that differ in names only, one is searched."""
    plans: dict[object, Plan] = {}
    made = []
    for problem in problems:
        table = Table(problem, reader)
        if table.likeness not in plans:
            plans[table.likeness] = search(table)
        made.append(_tree(table, plans[table.likeness]))
    return tuple(made)


def _tree(table: Table, plan: Plan) -> Tree:
    def found(state: State) -> Test | None:
        number = plan.choices.get(state)
        return None if number is None else table.tests[number]

    def walked(state: State) -> Test | None:
        return next((test for test in table.ordered if table.split(state, test)), None)

    total = table.weight(table.start) or 1.0
    effort, walk = (_effort(table, table.start, chosen) / total for chosen in (found, walked))
    return Tree(
        start=_step(table, table.start, walked if walk < effort else found, {}),
        effort=min(effort, walk),
        walk=walk,
        exact=plan.exact,
        groups=tuple(tuple(cause.id for cause in group) for group in table.groups),
    )


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

    def below(state: State) -> float:
        free = next(
            (
                subs
                for test in table.tests
                if test.question.effort == 0 and (subs := table.split(state, test))
            ),
            None,
        )
        if free is None:
            return layered_bound(table, state)
        return sum(below(sub) for sub in free if sub.mask)

    return below(table.start) / (table.weight(table.start) or 1.0)


def remaining(problem: Problem, causes: Collection[str]) -> Problem:
    """Return the problem with some of its causes only, such as those that an owner's leaf has left."""
    return replace(problem, causes=tuple(cause for cause in problem.causes if cause.id in causes))


Chosen = Callable[[State], Test | None]


def _effort(table: Table, state: State, chosen: Chosen) -> float:
    """The effort of a tree, in minutes times weight."""
    test = chosen(state)
    if test is None:
        return 0.0
    own = test.question.effort * table.weight(state)
    return own + sum(_effort(table, sub, chosen) for sub in table.split(state, test) if sub.mask)


def _step(table: Table, state: State, chosen: Chosen, made: dict[State, Step]) -> Step:
    if state in made:
        return made[state]
    test = chosen(state) if state.mask else None
    if test is None:
        left = [
            (cause.weight * weight / table.weights[group], cause)
            for group, weight in table.members(state)
            for cause in table.groups[group]
        ]
        made[state] = Leaf(tuple(cause for _, cause in sorted(left, key=lambda pair: -pair[0])))
    else:
        branches = zip(test.question.answers, table.split(state, test), strict=True)
        made[state] = Ask(
            test.question,
            tuple((answer, _step(table, sub, chosen, made)) for answer, sub in branches),
        )
    return made[state]
