"""The search for the tree of least expected effort: exact for small problems, near the optimum otherwise."""

from collections.abc import Callable
from dataclasses import dataclass
from heapq import nlargest
from math import fsum, inf

from vandoc.analysis.diagnosis.bound import quick_bound
from vandoc.analysis.diagnosis.table import CandidateSet, Table, Test

ALWAYS_EXACT = 12  # groups
SOMETIMES_EXACT = 16  # groups, if the budget is enough
BUDGET = 500  # states opened before the search continues with the heuristic
TRIED = 3  # questions that the heuristic follows to their ends in each state
SLACK = 1e-9


class TooLargeError(Exception):
    """The exact search has used up its budget; caught within this module."""


@dataclass(frozen=True, slots=True)
class StateQuestion:
    """A question asked in a state: its number in the table and the states that its answers lead to."""

    number: int
    test: Test
    subs: tuple[CandidateSet, ...]


Found = tuple[float, StateQuestion | None]


@dataclass(frozen=True)
class Plan:
    """The questions of the tree that was found.

    Attributes
    ----------
    choices : dict
        The number of the question in the table for each state of the tree; a missing state is an end.
    effort : float
        Minutes times weight.
    exact : bool
        Whether no tree takes less effort.
    """

    choices: dict[CandidateSet, int]
    effort: float
    exact: bool


def search(table: Table) -> Plan:
    """Return the tree of least expected effort, or one near it if the exact search would take too long.

    Parameters
    ----------
    table : Table
        Without questions that take no effort.

    Notes
    -----
    The exact search is a depth-first branch and bound on the AND/OR graph of AO*; every solved state is kept.

    References
    ----------
    K. R. Pattipati and M. G. Alexandridis, "Application of heuristic search and information theory to
    sequential fault diagnosis", IEEE Transactions on Systems, Man, and Cybernetics 20(4), 1990 (from memory).
    """
    made = _Search(table)
    choices: dict[CandidateSet, int] = {}
    open_states = [table.start]
    while open_states:
        state = open_states.pop()
        _, move = made.found(state)
        if move is not None and state not in choices:
            choices[state] = move.number
            open_states += move.subs
    return Plan(choices, made.found(table.start)[0], made.exact)


class _Search:
    def __init__(self, table: Table) -> None:
        self.table = table
        self._low: dict[CandidateSet, float] = {}
        self._best: dict[CandidateSet, Found] = {}
        self._greedy: dict[CandidateSet, Found] = {}
        self._heuristic: dict[CandidateSet, Found] = {}
        self._tests_above = {table.start: list(enumerate(table.tests))}
        self._useful_tests: dict[CandidateSet, list[tuple[int, Test]]] = {}
        self._most_informative: dict[CandidateSet, list[StateQuestion]] = {}
        self.exact = table.start.mask.bit_count() <= SOMETIMES_EXACT and self._try_exact(table.start)
        if not self.exact:
            self._by_heuristic(table.start)

    def found(self, state: CandidateSet) -> Found:
        """Return the effort from a state of the tree and its question; None at an end."""
        return self._best.get(state) or self._heuristic[state]

    def low(self, state: CandidateSet) -> float:
        """Return a lower bound on the effort from a state, in minutes times weight."""
        if state not in self._low:
            self._low[state] = quick_bound(self.table, state)
        return self._low[state]

    def _tests(self, state: CandidateSet) -> list[tuple[int, Test]]:
        """The useful questions with their numbers; those of a subset are among those of its superset."""
        if state not in self._useful_tests:
            above = () if state.is_single else self._tests_above.pop(state)
            leads_on = self.table.leads_on
            self._useful_tests[state] = [one for one in above if leads_on(state, one[1])]
        return self._useful_tests[state]

    def _move(self, state: CandidateSet, number: int, test: Test) -> StateQuestion:
        subs = tuple(sub for sub in self.table.split(state, test) if sub.mask)
        for sub in subs:
            self._tests_above.setdefault(sub, self._useful_tests[state])
        return StateQuestion(number, test, subs)

    def _promising(self, state: CandidateSet) -> list[StateQuestion]:
        """The questions with most information for their effort."""
        if state not in self._most_informative:
            found = nlargest(TRIED, self._tests(state), lambda one: self._bits_per_minute(state, one[1]))
            self._most_informative[state] = [self._move(state, number, test) for number, test in found]
        return self._most_informative[state]

    def _bits_per_minute(self, state: CandidateSet, test: Test) -> float:
        return self.table.information(state, test) / test.question.effort

    def _try_exact(self, state: CandidateSet) -> bool:
        self._budget = inf if state.mask.bit_count() <= ALWAYS_EXACT else BUDGET
        try:
            self._solve(state, self._by_information(state)[0] + SLACK)
        except TooLargeError:
            return False
        return True

    def _solve(self, state: CandidateSet, limit: float) -> float:
        """Return the least effort from a state, or infinity if it is not below the limit."""
        if state in self._best:
            return self._best[state][0]
        if self.low(state) >= limit:
            return inf
        self._budget -= 1
        if self._budget < 0:
            raise TooLargeError
        moves = [self._move(state, number, test) for number, test in self._tests(state)]
        if not moves:
            self._best[state] = (0.0, None)
            return 0.0
        weight = self.table.weight(state)
        lows = [move.test.question.effort * weight + fsum(map(self.low, move.subs)) for move in moves]
        least, chosen = limit, None
        for n in sorted(range(len(moves)), key=lows.__getitem__):
            if lows[n] >= least:
                break
            effort = self._follow(moves[n], weight, least)
            if effort < least:
                least, chosen = effort, moves[n]
        if chosen is None:
            self._low[state] = max(self._low[state], limit)
            return inf
        self._best[state] = (least, chosen)
        return least

    def _follow(self, move: StateQuestion, weight: float, limit: float) -> float:
        """Return the effort of a move, or the limit or more as soon as it is certain to reach it."""
        bounds = [(self.low(sub), sub) for sub in move.subs]  # these rise as the search learns
        total = move.test.question.effort * weight + fsum(bound for bound, _ in bounds)
        for bound, sub in sorted(bounds, key=lambda pair: -pair[0]):
            total += self._solve(sub, limit - total + bound) - bound
            if total >= limit:
                break
        return total

    def _by_heuristic(self, state: CandidateSet) -> Found:
        """The best of a few promising questions, each followed greedily to its ends."""
        if state not in self._heuristic:
            moves = self._promising(state)
            move = min(moves, key=lambda move: self._total(state, move, self._by_information), default=None)
            self._heuristic[state] = (self._total(state, move, self._by_heuristic), move)
        return self._heuristic[state]

    def _by_information(self, state: CandidateSet) -> Found:
        """The effort if the next question is always the one with most information for its effort."""
        if state not in self._greedy:
            move = next(iter(self._promising(state)), None)
            self._greedy[state] = (self._total(state, move, self._by_information), move)
        return self._greedy[state]

    def _total(
        self, state: CandidateSet, move: StateQuestion | None, onward: Callable[[CandidateSet], Found]
    ) -> float:
        if move is None:
            return 0.0
        own = move.test.question.effort * self.table.weight(state)
        return own + fsum(onward(sub)[0] for sub in move.subs)
