"""Lower bounds on the expected effort of any tree."""

from collections.abc import Iterable, Sequence
from heapq import heapify, heappop, heappush

from vandoc.diagnosis.table import State, Table, Test

LEAST_PART = 1e-4  # of the whole weight: lighter states are left out of the bound by layers
MOST_STATES = 5000


def huffman(weights: Sequence[float], ways: int = 2) -> float:
    """Return the weighted path length of the best code: the sum over the words of weight times length.

    Parameters
    ----------
    weights : sequence of float
        Shape (n,), none negative.
    ways : int
        Signs of the alphabet, 2 or more.

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
        merged = sum(heappop(heap) for _ in range(ways))
        total += merged
        heappush(heap, merged)
    return total


def cheapest_path(efforts: Sequence[float], length: float) -> float:
    """Return the least effort of a path of a mean length, each of its questions another one.

    Parameters
    ----------
    efforts : sequence of float
        Shape (n,), rising, in minutes.
    length : float
        Questions, 0 or more; need not be whole. Beyond n the last effort counts again.

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
    return sum(efforts[:whole]) + rest * (efforts[min(whole, len(efforts) - 1)] if efforts else 0.0)


def quick_bound(table: Table, state: State) -> float:
    """Return an effort below which no tree can tell the groups of a state apart.

    Any tree parts each two groups that some question is sure to tell apart, so it is a code for any set of
    groups that are so in pairs. A path of some length costs no less than that many of the cheapest questions,
    and no less than the cheapest question that may tell its end from the hardest other.

    Parameters
    ----------
    table : Table
    state : State

    Returns
    -------
    float
        Minutes times weight.

    References
    ----------
    K. R. Pattipati and M. G. Alexandridis, "Application of heuristic search and information theory to
    sequential fault diagnosis", IEEE Transactions on Systems, Man, and Cybernetics 20(4), 1990 (from memory).
    """
    held = _told_apart(table, state, table.apart)
    if len(held) < 2:
        return 0.0
    efforts, ways = [], 2
    for test in table.tests:
        subs = [sub for mask in test.masks if (sub := state.mask & mask)]
        if state.mask not in subs:
            efforts.append(test.question.effort)
            ways = max(ways, len(subs))
    total = sum(held.values())
    by_length = total * cheapest_path(sorted(efforts), huffman(list(held.values()), ways) / total)
    by_hardest = sum(
        weight * max(table.least_effort[group][other] for other in held if other != group)
        for group, weight in held.items()
    )
    return max(by_length, by_hardest)


def layered_bound(table: Table, state: State) -> float:
    """Return a higher bound, at more expense: the dear questions that are left if cheap ones were free.

    For each effort that some question takes, the answers to all cheaper ones are given away; what is left
    together must be parted by questions of at least that effort, by a code for each such set.

    Parameters
    ----------
    table : Table
    state : State

    Returns
    -------
    float
        Minutes times weight.
    """
    below, total = 0.0, 0.0
    known = [state]
    efforts = sorted({test.question.effort for test in table.tests})
    for effort in efforts:
        cheaper = [test for test in table.tests if below <= test.question.effort < effort]
        known = _given_away(table, known, cheaper, LEAST_PART * table.weight(state))
        if len(known) > MOST_STATES:
            break
        dear = [test for test in table.tests if test.question.effort >= effort]
        apart = table.told_apart(dear)
        ways = max(2, *(sum(mask != 0 for mask in test.masks) for test in dear))
        number = sum(huffman(list(_told_apart(table, one, apart).values()), ways) for one in known)
        total += (effort - below) * number
        below = effort
    return max(total, quick_bound(table, state))


def _given_away(table: Table, known: list[State], tests: Iterable[Test], least: float) -> list[State]:
    """Split states by every question, also by those that may lead nowhere."""
    for test in tests:
        split = []
        for state in known:
            subs = [sub for mask in test.masks if (sub := state.mask & mask)]
            if len(subs) < 2:
                split.append(state)
                continue
            split += [one for sub in subs if table.weight(one := table.shared(state, test, sub)) > least]
        known = split
        if len(known) > MOST_STATES:
            break
    return known


def _told_apart(table: Table, state: State, apart: Sequence[int]) -> dict[int, float]:
    """Groups that are told apart in pairs, with their weights: heavy ones first, as many as fit."""
    allowed, held = state.mask, {}
    for group, weight in sorted(table.members(state), key=lambda member: -member[1]):
        if allowed >> group & 1:
            held[group] = weight
            allowed &= apart[group]
    return held
