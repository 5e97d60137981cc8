"""The search for the tree of least expected effort: exact where it is small enough, near it beyond."""

from collections.abc import Callable
from dataclasses import dataclass
from heapq import nlargest
from math import inf

from vandoc.analysis.diagnosis.bound import quick_bound
from vandoc.analysis.diagnosis.table import CandidateSet, Table, Test

ALWAYS_EXACT = 12  # groups
SOMETIMES_EXACT = 16  # groups, as long as the budget lasts
BUDGET = 500  # states opened before such a problem is left to the nearly exact search
TRIED = 3  # questions followed to their ends at each step of that search
SLACK = 1e-9


class TooLargeError(Exception):
    """The exact search has used up its budget; caught within this module."""


@dataclass(frozen=True, slots=True)
class StateQuestion:
    """A question in a state, by its number in the table, and the states that its answers lead to."""

    number: int
    test: Test
    subs: tuple[CandidateSet, ...]


Found = tuple[float, StateQuestion | None]


@dataclass(frozen=True)
class Plan:
    """What to ask.

    Attributes
    ----------
    choices : dict
        By state of the tree, the number of the question in the table; a state that is not in it is an end.
    effort : float
        Minutes times weight.
    exact : bool
        Whether no tree takes less effort.
    """

    choices: dict[CandidateSet, int]
    effort: float
    exact: bool


def search(table: Table) -> Plan:
    """Return the tree of least expected effort, or one near it where the exact search would take too long.

    Parameters
    ----------
    table : Table
        Without questions that take no effort.

    Notes
    -----
    The exact search is depth first, with branches cut by lower bounds and every solved state kept, in the
    space of the AND/OR graph that AO* walks.

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
        self._near: dict[CandidateSet, Found] = {}
        self._above = {table.start: list(enumerate(table.tests))}
        self._leading: dict[CandidateSet, list[tuple[int, Test]]] = {}
        self._told: dict[CandidateSet, list[StateQuestion]] = {}
        self.exact = table.start.mask.bit_count() <= SOMETIMES_EXACT and self._try_exact(table.start)
        if not self.exact:
            self._nearly(table.start)

    def found(self, state: CandidateSet) -> Found:
        """Return the effort from a state of the tree found, and what to ask; nothing at an end."""
        return self._best.get(state) or self._near[state]

    def low(self, state: CandidateSet) -> float:
        """Return a lower bound on the effort from a state, in minutes times weight."""
        if state not in self._low:
            self._low[state] = quick_bound(self.table, state)
        return self._low[state]

    def _tests(self, state: CandidateSet) -> list[tuple[int, Test]]:
        """The questions that lead on, with their numbers: those of a part of a state are among its own."""
        if state not in self._leading:
            above = () if state.alone else self._above.pop(state)
            leads_on = self.table.leads_on
            self._leading[state] = [one for one in above if leads_on(state, one[1])]
        return self._leading[state]

    def _move(self, state: CandidateSet, number: int, test: Test) -> StateQuestion:
        subs = tuple(sub for sub in self.table.split(state, test) if sub.mask)
        for sub in subs:
            self._above.setdefault(sub, self._leading[state])
        return StateQuestion(number, test, subs)

    def _promising(self, state: CandidateSet) -> list[StateQuestion]:
        """The questions that tell most for their effort."""
        if state not in self._told:
            found = nlargest(TRIED, self._tests(state), lambda one: self._worth(state, one[1]))
            self._told[state] = [self._move(state, number, test) for number, test in found]
        return self._told[state]

    def _worth(self, state: CandidateSet, test: Test) -> float:
        """Bit for each minute."""
        return self.table.told(state, test) / test.question.effort

    def _try_exact(self, state: CandidateSet) -> bool:
        self._budget = inf if state.mask.bit_count() <= ALWAYS_EXACT else BUDGET
        try:
            self._solve(state, self._by_information(state)[0] + SLACK)
        except TooLargeError:
            return False
        return True

    def _solve(self, state: CandidateSet, limit: float) -> float:
        """Return the least effort from a state, or infinity where it is not below the limit."""
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
        lows = [move.test.question.effort * weight + sum(map(self.low, move.subs)) for move in moves]
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
        """Return the effort of a move, or no less than the limit as soon as that is certain."""
        bounds = [(self.low(sub), sub) for sub in move.subs]  # these rise as the search learns
        total = move.test.question.effort * weight + sum(bound for bound, _ in bounds)
        for bound, sub in sorted(bounds, key=lambda pair: -pair[0]):
            total += self._solve(sub, limit - total + bound) - bound
            if total >= limit:
                break
        return total

    def _nearly(self, state: CandidateSet) -> Found:
        """The best of a few promising questions, each followed greedily to its ends."""
        if state not in self._near:
            moves = self._promising(state)
            move = min(moves, key=lambda move: self._total(state, move, self._by_information), default=None)
            self._near[state] = (self._total(state, move, self._nearly), move)
        return self._near[state]

    def _by_information(self, state: CandidateSet) -> Found:
        """The effort when always the question that tells most for its effort comes next."""
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
        return own + sum(onward(sub)[0] for sub in move.subs)
