"""An effort below which no fault-finding tree can be, by linear programming: the measure of the trees.

Huffman's bound lies far below what any tree takes where causes have questions of their own, as ends of cables
have: a code may part its words by halves, such questions part one cause from all others. The bound here never
lies below it, and holds the questions that there are against the pairs of causes that they part.
"""

from collections.abc import Iterable

import numpy as np
from scipy.optimize import linprog
from scipy.sparse import coo_matrix

from vandoc.analysis.diagnosis.bound import code_length, quick_bound
from vandoc.analysis.diagnosis.problem import Problem, Reader
from vandoc.analysis.diagnosis.table import CandidateSet, Table, Test

MOST_STATES = 500
LEAST_PART = 1e-5  # of the whole weight: lighter states are left out, which only lowers the bound
NOTHING = 1e-12
KNOWN: dict[object, float] = {}
TOLERANCE = 1e-6  # of the solver


def lower_bound(problem: Problem, reader: Reader) -> float:
    """Return an effort below which no tree can be that asks first what takes no effort. [min]"""
    table = Table.of(problem, reader)
    return below(table) / (table.weight(table.start) or 1.0)


def below(table: Table) -> float:
    """Return the bound of a table, in minutes times weight."""
    if table.free is not None:
        return sum(below(table.part(state)) for state in table.split(table.start, table.free))
    if table.start.is_single or not table.tests:
        return 0.0
    if table.likeness not in KNOWN:
        whole = by_pairs(table, table.start, table.tests, 0.0)
        KNOWN[table.likeness] = max(quick_bound(table, table.start), whole, _cheapest_given_away(table))
    return KNOWN[table.likeness]


def by_pairs(table: Table, state: CandidateSet, tests: Iterable[Test], off: float) -> float:
    """Return a bound by prices for the pairs of groups that a tree must part.

    Give each pair that some question is sure to part a price y. A state holds a share s of each group; in
    it a pair is worth y min(s, s'). Where the two groups give an answer with the shares p and p', the pair
    is worth y min(sp, s'p') after it, which is never below y min(s, s') min(p, p'). So a question takes at
    most the part 1 - sum of min(p, p') off what the pair is worth. Let the two groups pay that part, x s
    and (y - x) s' of it: together never less than y min(s, s'). When no group pays more in sum than the
    effort of the question times its weight, no question takes off more than it costs, in any state; and at
    an end no priced pair is left. So no tree takes less than all pairs are worth. The prices that are worth
    most are a linear program.

    Every question of the table counts, also one that would not lead on from this state: a tree may have asked
    it before the answers that the state takes for known.

    Parameters
    ----------
    table : Table
    state : CandidateSet
    tests : iterable of Test
    off : float
        What is taken off the effort of each of them. [min]

    Returns
    -------
    float
        Minutes times weight.
    """
    members = table.members(state)
    weights = np.array([weight for _, weight in members])
    asked = [(test.question.effort - off, _shares(test, [group for group, _ in members])) for test in tests]
    parted = [1 - np.minimum(shares[:, :, None], shares[:, None, :]).sum(axis=0) for _, shares in asked]
    apart = np.any([part > 1 - NOTHING for part in parted], axis=0) if parted else np.zeros((1, 1), bool)
    one, other = np.nonzero(np.triu(apart, 1))
    if not len(one):
        return 0.0
    rows, columns, values, limits = [], [], [], []
    variables, constraints = len(one), 0
    for (effort, _), part in zip(asked, parted, strict=True):
        pairs = np.flatnonzero(part[one, other] > NOTHING)
        share, paid = part[one[pairs], other[pairs]], variables + np.arange(len(pairs))
        first, second = constraints + one[pairs], constraints + other[pairs]
        most = constraints + len(weights) + np.arange(len(pairs))
        ones = np.ones(len(pairs))
        rows += [first, second, second, most, most]
        columns += [paid, pairs, paid, paid, pairs]
        values += [share, share, -share, ones, -ones]
        limits += [effort * weights, 0 * ones]
        variables += len(pairs)
        constraints += len(weights) + len(pairs)
    where = np.concatenate(rows), np.concatenate(columns)
    matrix = coo_matrix((np.concatenate(values), where), shape=(constraints, variables)).tocsr()
    worth = np.zeros(variables)
    worth[: len(one)] = -1
    found = linprog(worth, A_ub=matrix, b_ub=np.concatenate(limits), method="highs-ipm")
    return -float(found.fun) * (1 - TOLERANCE)


def _shares(test: Test, groups: list[int]) -> np.ndarray:
    """For each answer, the part of each group that gives it."""
    unsure = dict(test.shares)
    return np.array([[(mask >> n & 1) * unsure.get(n, 1.0) for n in groups] for mask in test.masks])


def _cheapest_given_away(table: Table) -> float:
    """What is left to ask when the answers to the cheapest questions are known.

    Each question counts with that effort by the length of a code, and with what it takes beyond by the pairs
    that are left in each of the states.
    """
    least = min(test.question.effort for test in table.tests)
    cheap = [test for test in table.tests if test.question.effort == least]
    states = [table.start]
    for test in cheap:
        states = [known for state in states for known in _known(table, state, test)]
        if len(states) > MOST_STATES:
            return 0.0
    dear = [test for test in table.tests if test.question.effort > least]
    rest = sum(by_pairs(table, state, dear, least) for state in states)
    return least * code_length(table, table.start) + rest


def _known(table: Table, state: CandidateSet, test: Test) -> list[CandidateSet]:
    subs = [sub for mask in test.masks if (sub := state.mask & mask)]
    if len(subs) == 1:
        return [state]
    lightest = LEAST_PART * table.weight(table.start)
    split = [table.shared(state, test, sub) for sub in subs]
    return [one for one in split if table.weight(one) > lightest]
