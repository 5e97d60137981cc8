"""A problem as bit masks: groups of causes that no permitted question tells apart, and the questions."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from math import fsum, log2

from vandoc.analysis.diagnosis.problem import Cause, Problem, Question, Reader

CHUNK = 8
CHUNK_MASK = (1 << CHUNK) - 1


@dataclass(frozen=True)
class Test:
    """A question about the groups of a table.

    Attributes
    ----------
    question : Question
    masks : tuple of int
        For each answer, the groups that may give it, one bit each.
    shares : tuple of (int, float)
        Groups that may give several answers, with the fraction of their weight for each answer.
    unsure : int
        The groups in ``shares``, as a mask.
    """

    question: Question
    masks: tuple[int, ...]
    shares: tuple[tuple[int, float], ...]
    unsure: int


@dataclass(frozen=True, slots=True)
class CandidateSet:
    """The groups that are still possible.

    Attributes
    ----------
    mask : int
        The groups, one bit each.
    shares : tuple of (int, float)
        Groups with part of their weight in other branches, with the fraction left here.
    """

    mask: int
    shares: tuple[tuple[int, float], ...] = ()

    @property
    def is_single(self) -> bool:
        """Whether at most one group is left."""
        return not self.mask & (self.mask - 1)


def bits(mask: int) -> Iterator[int]:
    """Yield the positions of the bits that are set, lowest first."""
    while mask:
        low = mask & -mask
        yield low.bit_length() - 1
        mask ^= low


class Table:
    """Groups of causes against questions.

    Parameters
    ----------
    groups : sequence of tuple of Cause
        Causes with the same answers; the likeliest first in each group.
    tests : iterable of Test

    Attributes
    ----------
    groups : tuple of tuple of Cause
    weights : tuple of float
        The weight of each group.
    start : CandidateSet
        All groups.
    ordered : tuple of Test
        The questions that divide the groups, in the order given.
    tests : tuple of Test
        Those of them for which no other question is at least as good for the same effort or less.
    """

    def __init__(self, groups: Sequence[tuple[Cause, ...]], tests: Iterable[Test]) -> None:
        self.groups = tuple(groups)
        self.weights = tuple(fsum(cause.weight for cause in group) for group in groups)
        self.start = CandidateSet((1 << len(groups)) - 1)
        self.ordered = tuple(test for test in tests if self.leads_on(self.start, test))
        self.tests = _undominated(self.ordered)

    @classmethod
    def of(cls, problem: Problem, reader: Reader) -> "Table":
        """Return the table of a problem for a reader; an owner's has owners' questions only."""
        permitted = [q for q in problem.questions if reader == "electrician" or q.reader == "owner"]
        alike: dict[tuple[frozenset[str], ...], list[Cause]] = {}
        for cause in problem.causes:
            row = tuple(
                problem.possible.get((question.id, cause.id)) or frozenset(question.answers)
                for question in permitted
            )
            alike.setdefault(row, []).append(cause)
        tests = [_test(question, [row[n] for row in alike]) for n, question in enumerate(permitted)]
        return cls([_likeliest_first(group) for group in alike.values()], tests)

    def part(self, state: CandidateSet) -> "Table":
        """Return the table of the groups of one state, with their weights in it."""
        tests = [test for test in self.ordered if self.leads_on(state, test)]
        cells = _cells(state.mask, tests)
        place = {next(bits(cell)): n for n, cell in enumerate(cells)}
        kept = sum(1 << group for group in place)
        groups = [_likeliest_first(self.causes(CandidateSet(cell, state.shares))) for cell in cells]
        return Table(groups, [_of_places(test, place, kept) for test in tests])

    @cached_property
    def _sums(self) -> list[list[float]]:
        """The weight of every subset of each eight consecutive groups."""
        tables = []
        for start in range(0, len(self.weights), CHUNK):
            table = [0.0]
            for weight in self.weights[start : start + CHUNK]:
                table += [one + weight for one in table]
            tables.append(table)
        return tables

    def weight(self, state: CandidateSet) -> float:
        """Return the total weight of the groups of a state."""
        total = self._sum(state.mask)
        for group, share in state.shares:
            total -= self.weights[group] * (1 - share)
        return total

    def _sum(self, mask: int) -> float:
        total = 0.0
        for table in self._sums:
            total += table[mask & CHUNK_MASK]
            mask >>= CHUNK
            if not mask:
                break
        return total

    def members(self, state: CandidateSet) -> list[tuple[int, float]]:
        """Return the groups of a state, each with its weight in it."""
        left = dict(state.shares)
        return [(group, self.weights[group] * left.get(group, 1.0)) for group in bits(state.mask)]

    def causes(self, state: CandidateSet) -> Iterator[Cause]:
        """Yield the causes of a state, each with its weight in it."""
        left = dict(state.shares)
        for group in bits(state.mask):
            share = left.get(group, 1.0)
            for cause in self.groups[group]:
                yield cause if share == 1 else replace(cause, weight=cause.weight * share)

    @staticmethod
    def leads_on(state: CandidateSet, test: Test) -> bool:
        """Return whether each answer of a test leaves fewer groups possible."""
        return state.mask not in [state.mask & mask for mask in test.masks]

    def split(self, state: CandidateSet, test: Test) -> list[CandidateSet]:
        """Return the states that the answers lead to, one for each answer, in order.

        A state without groups belongs to an answer that no group gives. The list is empty if some answer
        would leave every group possible, because such a question may give no information.
        """
        subs = [state.mask & mask for mask in test.masks]
        if state.mask in subs:
            return []
        if not state.shares and not test.unsure & state.mask:
            return [CandidateSet(sub) for sub in subs]
        return [self.shared(state, test, sub) for sub in subs]

    def information(self, state: CandidateSet, test: Test) -> float:
        """Return the expected information of the answer to a question. [bit]"""
        total = self.weight(state)
        expected = 0.0
        lost = [(group, self.weights[group] * (1 - share)) for group, share in state.shares]
        if test.unsure & state.mask:
            left = dict(state.shares)
            for group, share in test.shares:
                if state.mask >> group & 1:
                    weight = self.weights[group] * left.get(group, 1.0)
                    lost.append((group, weight * (1 - share)))
                    expected += weight / total * log2(share)
        for mask in test.masks:
            sub = state.mask & mask
            part = self._sum(sub)
            for group, weight in lost:
                if sub >> group & 1:
                    part -= weight
            if part > 0:
                expected -= part / total * log2(part / total)
        return expected

    @property
    def free(self) -> Test | None:
        """The question without effort that gives most information; None if there is none."""
        free = [test for test in self.tests if test.question.effort == 0]
        return max(free, key=lambda test: self.information(self.start, test), default=None)

    @staticmethod
    def shared(state: CandidateSet, test: Test, sub: int) -> CandidateSet:
        """Return the state after an answer that leaves the groups `sub` of a state possible."""
        left = [(group, share) for group, share in state.shares if sub >> group & 1]
        if sub & test.unsure:
            known = dict(left)
            for group, share in test.shares:
                if sub >> group & 1:
                    known[group] = known.get(group, 1.0) * share
            left = sorted(known.items())
        return CandidateSet(sub, tuple(left))

    @cached_property
    def likeness(self) -> tuple[tuple[float, ...], tuple[tuple[float, tuple[int, ...]], ...]]:
        """All that decides the search: tables with the same value have the same tree except for names."""
        return self.weights, tuple((test.question.effort, test.masks) for test in self.tests)

    @cached_property
    def apart(self) -> list[int]:
        """For each group, as a mask, the others that some question is certain to tell from it."""
        found = [0] * len(self.groups)
        for test in self.tests:
            for one in range(len(found)):
                like = 0
                for mask in test.masks:
                    if mask >> one & 1:
                        like |= mask
                found[one] |= self.start.mask & ~like
        return found

    @cached_property
    def least_effort(self) -> list[dict[int, float]]:
        """For each group, the others that one of its answers may exclude, with the least effort for it."""
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


def _likeliest_first(causes: Iterable[Cause]) -> tuple[Cause, ...]:
    return tuple(sorted(causes, key=lambda cause: -cause.weight))


def _cells(mask: int, tests: Iterable[Test]) -> list[int]:
    """Return the groups that no test separates, as masks, in the order of their lowest bit."""
    done, cells = [], [mask] if mask else []
    for test in tests:
        for answer in test.masks:
            split = [part for cell in cells for part in (cell & answer, cell & ~answer) if part]
            done += [cell for cell in split if not cell & (cell - 1)]
            cells = [cell for cell in split if cell & (cell - 1)]
    return sorted(done + cells, key=lambda cell: cell & -cell)


def _of_places(test: Test, place: dict[int, int], kept: int) -> Test:
    """Return a test of the groups in the mask `kept`; `place` maps each to its new number."""
    masks = tuple(sum(1 << place[group] for group in bits(mask & kept)) for mask in test.masks)
    shares = tuple(sorted((place[group], share) for group, share in test.shares if kept >> group & 1))
    return Test(test.question, masks, shares, sum(1 << group for group, _ in shares))


def _test(question: Question, answers: list[frozenset[str]]) -> Test:
    """Return a question as masks; `answers` holds the possible answers of each group."""
    masks = dict.fromkeys(question.answers, 0)
    for group, given in enumerate(answers):
        for answer in given:
            masks[answer] |= 1 << group
    shares = tuple((group, 1 / len(given)) for group, given in enumerate(answers) if len(given) > 1)
    return Test(question, tuple(masks.values()), shares, sum(1 << group for group, _ in shares))


def _undominated(tests: tuple[Test, ...]) -> tuple[Test, ...]:
    """Leave out each question for which another with the same effort or less is at least as good.

    That is so if the other divides the groups equally or, with certain answers in both, more finely.
    """
    kept: dict[frozenset[int], Test] = {}
    fine: list[tuple[int, ...]] = []
    for test in sorted(tests, key=lambda test: (test.question.effort, test.masks)):
        masks = frozenset(test.masks) - {0}
        if masks in kept or (not test.unsure and any(_implies(one, test.masks) for one in fine)):
            continue
        kept[masks] = test
        if not test.unsure and len(masks) > 2:  # with two answers it cannot be finer than another
            fine.append(test.masks)
    return tuple(kept.values())


def _implies(fine: tuple[int, ...], coarse: tuple[int, ...]) -> bool:
    return all(any(mask & ~whole == 0 for whole in coarse) for mask in fine)
