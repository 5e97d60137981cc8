"""Positions with least distances: feasible, in order, and no better choice nearby."""

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from vandoc.pages.diagram.spacing import kept_within, spaced

GOALS = st.lists(st.floats(-100, 100), min_size=1, max_size=8)


@given(GOALS, st.floats(0, 20))
def test_distances_are_kept(goals: list[float], gap: float) -> None:
    placed = spaced(goals, [gap] * (len(goals) - 1))
    assert all(b - a >= gap - 1e-6 for a, b in pairwise(placed))


@given(GOALS, st.floats(0, 20))
def test_no_single_or_joint_move_that_keeps_distances_comes_nearer(goals: list[float], gap: float) -> None:
    def cost(places: list[float]) -> float:
        return sum((place - goal) ** 2 for place, goal in zip(places, goals, strict=True))

    placed = spaced(goals, [gap] * (len(goals) - 1))
    best = cost(placed)
    for step in (-0.01, 0.01):
        for first in range(len(placed)):
            for last in range(first + 1, len(placed) + 1):
                moved = [y + step if first <= n < last else y for n, y in enumerate(placed)]
                if all(b - a >= gap - 1e-9 for a, b in pairwise(moved)):
                    assert cost(moved) >= best - 1e-6


def test_a_heavy_wish_is_granted() -> None:
    assert spaced([0.0, 0.0], [10.0], [1e9, 1.0]) == pytest.approx([0.0, 10.0], abs=1e-6)


def test_numbers_must_agree() -> None:
    with pytest.raises(ValueError, match="2 goals"):
        spaced([0.0, 1.0], [])


@given(GOALS, st.floats(0, 5))
def test_bounds_and_distances_hold_where_there_is_room(goals: list[float], gap: float) -> None:
    gaps = [gap] * (len(goals) - 1)
    kept = kept_within(spaced(goals, gaps), gaps, [-50.0] * len(goals), [50.0] * len(goals))
    assert all(-50.0 - 1e-9 <= place <= 50.0 + 1e-9 for place in kept)
    assert all(b - a >= gap - 1e-6 for a, b in pairwise(kept))
