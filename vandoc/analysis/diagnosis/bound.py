"""Lower bounds on the expected effort of any tree."""

from collections.abc import Sequence
from heapq import heapify, heappop, heappush
from math import fsum

from vandoc.analysis.diagnosis.table import CandidateSet, Table


def huffman(weights: Sequence[float], ways: int = 2) -> float:
    """Return the least weighted path length of any code: the sum over its words of weight times length.

    Parameters
    ----------
    weights : sequence of float
        Shape (n,), none negative.
    ways : int
        Symbols of the alphabet, 2 or more.

    Returns
    -------
    float
        In units of the weights.

    Raises
    ------
    ValueError
        If a weight is negative or `ways` is below 2.

    Examples
    --------
    >>> huffman([5, 3, 2])
    15.0
    >>> huffman([1, 1, 1], ways=3)
    3.0

    References
    ----------
    D. A. Huffman, "A Method for the Construction of Minimum-Redundancy Codes", Proceedings of the IRE 40(9),
    1952, pages 1098 to 1101 (from memory).
    """
    if ways < 2 or any(weight < 0 for weight in weights):
        raise ValueError(f"no code with {ways} signs for weights {list(weights)!r}")
    heap = [float(weight) for weight in weights]
    if len(heap) > 1:
        heap += [0.0] * (-(len(heap) - 1) % (ways - 1))
    heapify(heap)
    total = 0.0
    while len(heap) > 1:
        merged = fsum(heappop(heap) for _ in range(ways))
        total += merged
        heappush(heap, merged)
    return total


def cheapest_path(efforts: Sequence[float], length: float) -> float:
    """Return the least mean effort of paths with a given mean length, on which no question is repeated.

    Parameters
    ----------
    efforts : sequence of float
        Shape (n,), ascending, in minutes.
    length : float
        Mean number of questions, 0 or more. Beyond n the last effort counts again.

    Returns
    -------
    float
        In minutes.

    Examples
    --------
    >>> cheapest_path([1.0, 2.0, 5.0], 2.5)
    5.5
    """
    whole = min(int(length), len(efforts))
    rest = length - whole
    return fsum(efforts[:whole]) + rest * (efforts[min(whole, len(efforts) - 1)] if efforts else 0.0)


def quick_bound(table: Table, state: CandidateSet) -> float:
    """Return a lower bound on the effort of any tree that separates the groups of a state.

    A tree separates every two groups that some question is certain to tell apart. So it is a code for each
    set of groups of which every two are such a pair. A path costs at least as much as the same number of the
    cheapest questions, and at least as much as the cheapest question that may tell its end from the other
    group that is most expensive to exclude.

    Parameters
    ----------
    table : Table
    state : CandidateSet
        The groups to separate.

    Returns
    -------
    float
        Minutes times weight.

    References
    ----------
    K. R. Pattipati and M. G. Alexandridis, "Application of heuristic search and information theory to
    sequential fault diagnosis", IEEE Transactions on Systems, Man, and Cybernetics 20(4), 1990 (from memory).
    """
    held = _separable_groups(table, state)
    if len(held) < 2:
        return 0.0
    useful = [test for test in table.tests if table.leads_on(state, test)]
    efforts = sorted(test.question.effort for test in useful)
    total = fsum(held.values())
    by_length = total * cheapest_path(efforts, code_length(table, state) / total)
    by_hardest = fsum(
        weight * max(table.least_effort[group][other] for other in held if other != group)
        for group, weight in held.items()
    )
    return max(by_length, by_hardest)


def code_length(table: Table, state: CandidateSet) -> float:
    """Return a lower bound on questions times weight of any tree that separates the groups of a state."""
    useful = [test for test in table.tests if table.leads_on(state, test)]
    ways = max((sum(state.mask & mask != 0 for mask in test.masks) for test in useful), default=2)
    return huffman(list(_separable_groups(table, state).values()), ways)


def _separable_groups(table: Table, state: CandidateSet) -> dict[int, float]:
    """Groups of which every two can be told apart, with their weights; chosen greedily, heaviest first."""
    allowed, held = state.mask, {}
    for group, weight in sorted(table.members(state), key=lambda member: -member[1]):
        if allowed >> group & 1:
            held[group] = weight
            allowed &= table.apart[group]
    return held
