"""Positions along a line, as close to their goals as the minimum distances between them allow."""

from collections.abc import Sequence
from itertools import combinations
from math import dist


def spaced(
    goals: Sequence[float],
    gaps: Sequence[float],
    weights: Sequence[float] | None = None,
) -> list[float]:
    """Return positions in the given order that keep the distances and are closest to their goals.

    Closest in least squares; the method is isotonic regression by pooling adjacent violators (Barlow et al.,
    Statistical Inference under Order Restrictions, 1972; from memory).

    Parameters
    ----------
    goals : sequence of float, n
        Preferred positions.
    gaps : sequence of float, n - 1
        Minimum distance from each to the next, 0 or more.
    weights : sequence of float, n, optional
        Weight of each goal, above 0; default: equal weights.

    Raises
    ------
    ValueError
        If the numbers of goals, gaps and weights do not agree.

    Examples
    --------
    >>> spaced([0.0, 0.0, 30.0], [10.0, 10.0])
    [-5.0, 5.0, 30.0]
    """
    weights = [1.0] * len(goals) if weights is None else weights
    if len(weights) != len(goals) or len(gaps) != max(len(goals) - 1, 0):
        raise ValueError(f"{len(goals)} goals with {len(gaps)} gaps and {len(weights)} weights")
    offsets = [0.0]
    for gap in gaps:
        offsets.append(offsets[-1] + gap)
    pools: list[tuple[float, float, int]] = []  # mean, weight, members
    for goal, offset, weight in zip(goals, offsets, weights, strict=False):
        mean, total, members = goal - offset, weight, 1
        while pools and pools[-1][0] > mean:
            before, heavy, count = pools.pop()
            mean = (mean * total + before * heavy) / (total + heavy)
            total, members = total + heavy, members + count
        pools.append((mean, total, members))
    flat = [mean for mean, _, members in pools for _ in range(members)]
    return [mean + offset for mean, offset in zip(flat, offsets, strict=False)]


def kept_within(
    positions: Sequence[float], gaps: Sequence[float], lows: Sequence[float], highs: Sequence[float]
) -> list[float]:
    """Return the positions moved into their bounds; the distances are kept if the bounds leave room.

    Examples
    --------
    >>> kept_within([-5.0, 5.0, 30.0], [10.0, 10.0], [0.0] * 3, [25.0] * 3)
    [0.0, 10.0, 25.0]
    """
    kept: list[float] = []
    for n, position in enumerate(positions):
        least = lows[n] if n == 0 else max(lows[n], kept[-1] + gaps[n - 1])
        kept.append(max(position, least))
    for n in range(len(kept) - 1, -1, -1):
        most = highs[n] if n == len(kept) - 1 else min(highs[n], kept[n + 1] - gaps[n])
        kept[n] = min(kept[n], most)
    return kept


def apart(points: Sequence[tuple[float, float]], gap: float) -> list[float]:
    """Return heights at which points keep a distance from each other; each stays above or below another.

    Crowded points may keep less than the distance.

    Examples
    --------
    >>> apart([(0.0, 0.0), (0.0, 0.0), (50.0, 0.0)], 10.0)
    [-5.0, 5.0, 0.0]
    """
    heights = [y for _, y in points]
    for _ in range(40):
        moved = False
        order = sorted(range(len(points)), key=lambda n: (heights[n], points[n][0], n))
        for first, second in combinations(order, 2):
            between = dist((points[first][0], heights[first]), (points[second][0], heights[second]))
            if gap - between > 0.01:
                heights[first] -= (gap - between) / 2
                heights[second] += (gap - between) / 2
                moved = True
        if not moved:
            break
    return heights
