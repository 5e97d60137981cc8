"""A problem as bit masks: groups of causes that no permitted question tells apart, and what parts them."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import cached_property
from math import log2

from vandoc.diagnosis.problem import Cause, Problem, Question, Reader

CHUNK = 8


@dataclass(frozen=True)
class Test:
    """A question over the groups of a table.

    Attributes
    ----------
    question : Question
    masks : tuple of int
        For each of its answers, the groups that may give it, one bit each.
    shares : dict of int to float
        For each group that may give several answers, the part of its weight that each of them gets.
    unsure : int
        The groups in ``shares``, as a mask.
    """

    question: Question
    masks: tuple[int, ...]
    shares: dict[int, float]
    unsure: int


@dataclass(frozen=True, slots=True)
class State:
    """Groups still possible.

    Attributes
    ----------
    mask : int
        The groups, one bit each.
    shares : tuple of (int, float)
        Groups that have given part of their weight to other branches, with the part left.
    """

    mask: int
    shares: tuple[tuple[int, float], ...] = ()


def bits(mask: int) -> Iterator[int]:
    """Yield the places of the bits set, lowest first."""
    while mask:
        low = mask & -mask
        yield low.bit_length() - 1
        mask ^= low


class Table:
    """What may be wrong, in groups, against what may be asked.

    Parameters
    ----------
    problem : Problem
    reader : Reader
        An owner's table holds the owner's questions only.

    Attributes
    ----------
    groups : tuple of tuple of Cause
        Causes that give the same answers to every permitted question; the likeliest first in each.
    weights : tuple of float
        Of each group.
    start : State
        Every group.
    ordered : tuple of Test
        Questions that part the groups, in the order of the problem.
    tests : tuple of Test
        Of those that part them alike, or no better, only the cheapest.
    """

    def __init__(self, problem: Problem, reader: Reader) -> None:
        asked = [q for q in problem.questions if reader == "electrician" or q.reader == "owner"]
        alike: dict[tuple[frozenset[str], ...], list[Cause]] = {}
        for cause in problem.causes:
            row = tuple(
                problem.possible.get((question.id, cause.id)) or frozenset(question.answers)
                for question in asked
            )
            alike.setdefault(row, []).append(cause)
        self.groups = tuple(tuple(sorted(group, key=lambda c: -c.weight)) for group in alike.values())
        self.weights = tuple(sum(cause.weight for cause in group) for group in self.groups)
        self.start = State((1 << len(self.groups)) - 1)
        tests = [_test(question, [row[n] for row in alike]) for n, question in enumerate(asked)]
        self.ordered = tuple(test for test in tests if self.split(self.start, test))
        self.tests = _undominated(self.ordered)

    @cached_property
    def _sums(self) -> list[list[float]]:
        """For each eight groups, the weight of each subset of them."""
        tables = []
        for start in range(0, len(self.weights), CHUNK):
            table = [0.0]
            for weight in self.weights[start : start + CHUNK]:
                table += [one + weight for one in table]
            tables.append(table)
        return tables

    def weight(self, state: State) -> float:
        """Return the weight of a state."""
        mask, total, n = state.mask, 0.0, 0
        while mask:
            total += self._sums[n][mask & ((1 << CHUNK) - 1)]
            mask >>= CHUNK
            n += 1
        for group, share in state.shares:
            total -= self.weights[group] * (1 - share)
        return total

    def members(self, state: State) -> list[tuple[int, float]]:
        """Return the groups of a state, each with its weight there."""
        left = dict(state.shares)
        return [(group, self.weights[group] * left.get(group, 1.0)) for group in bits(state.mask)]

    def split(self, state: State, test: Test) -> list[State]:
        """Return the states that the answers lead to, one for each answer, in their order.

        A state without groups stands for an answer that none of them gives. The list is empty where some
        answer would leave every group as possible as before: such a question may lead nowhere.
        """
        subs = []
        for mask in test.masks:
            sub = state.mask & mask
            if sub == state.mask:
                return []
            subs.append(sub)
        if not state.shares and not test.unsure & state.mask:
            return [State(sub) for sub in subs]
        return [self.shared(state, test, sub) for sub in subs]

    def told(self, state: State, test: Test, subs: Iterable[State]) -> float:
        """Return the information that an answer brings, in bit; `subs` are the states it may lead to."""
        total = self.weight(state)
        parts = [self.weight(sub) / total for sub in subs]
        told = -sum(part * log2(part) for part in parts if part > 0)
        if test.unsure & state.mask:
            told += sum(
                weight / total * log2(test.shares[group])
                for group, weight in self.members(state)
                if group in test.shares
            )
        return told

    @property
    def free(self) -> Test | None:
        """The question that tells most among those that take no effort; None where none of them leads on."""
        free = [test for test in self.tests if test.question.effort == 0]
        return max(
            free, key=lambda test: self.told(self.start, test, self.split(self.start, test)), default=None
        )

    @staticmethod
    def shared(state: State, test: Test, sub: int) -> State:
        """Return the state of some groups of another after an answer that they may give."""
        left = {group: share for group, share in state.shares if sub >> group & 1}
        for group in bits(sub & test.unsure):
            left[group] = left.get(group, 1.0) * test.shares[group]
        return State(sub, tuple(sorted(left.items())))

    @cached_property
    def likeness(self) -> tuple[tuple[float, ...], tuple[tuple[float, tuple[int, ...]], ...]]:
        """What decides the search: tables that are equal in it have the same tree, with other names."""
        return self.weights, tuple((test.question.effort, test.masks) for test in self.tests)

    @cached_property
    def apart(self) -> list[int]:
        """For each group, as a mask, the others that some question is sure to tell from it."""
        return self.told_apart(self.tests)

    def told_apart(self, tests: Iterable[Test]) -> list[int]:
        """Return, for each group, as a mask, the others that one of the questions is sure to tell from it."""
        found = [0] * len(self.groups)
        for test in tests:
            for one in range(len(found)):
                like = 0
                for mask in test.masks:
                    if mask >> one & 1:
                        like |= mask
                found[one] |= self.start.mask & ~like
        return found

    @cached_property
    def least_effort(self) -> list[dict[int, float]]:
        """For each group, the others that an answer of its may exclude, with the least effort of that."""
        found: list[dict[int, float]] = [{} for _ in self.groups]
        unseen = [self.start.mask] * len(self.groups)
        for test in sorted(self.tests, key=lambda test: test.question.effort):
            for one, row in enumerate(found):
                never_excluded = self.start.mask
                for mask in test.masks:
                    if mask >> one & 1:
                        never_excluded &= mask
                for other in bits(unseen[one] & ~never_excluded):
                    row[other] = test.question.effort
                unseen[one] &= never_excluded
        return found


def _test(question: Question, answers: list[frozenset[str]]) -> Test:
    """Compile a question; `answers` are those of each group."""
    masks = dict.fromkeys(question.answers, 0)
    shares: dict[int, float] = {}
    unsure = 0
    for group, given in enumerate(answers):
        for answer in given:
            masks[answer] |= 1 << group
        if len(given) > 1:
            shares[group] = 1 / len(given)
            unsure |= 1 << group
    return Test(question, tuple(masks.values()), shares, unsure)


def _undominated(tests: tuple[Test, ...]) -> tuple[Test, ...]:
    """Leave out what takes no less effort than a question that does at least as much.

    It does when it parts the groups as the other does, or, both being sure, more finely.
    """
    kept: dict[frozenset[int], Test] = {}
    fine: list[tuple[int, ...]] = []
    for test in sorted(tests, key=lambda test: (test.question.effort, test.masks)):
        masks = frozenset(test.masks) - {0}
        if masks in kept or (not test.unsure and any(_implies(one, test.masks) for one in fine)):
            continue
        kept[masks] = test
        if not test.unsure and len(masks) > 2:  # with two answers it can only part as others do
            fine.append(test.masks)
    return tuple(kept.values())


def _implies(fine: tuple[int, ...], coarse: tuple[int, ...]) -> bool:
    return all(any(mask & ~whole == 0 for whole in coarse) for mask in fine)
