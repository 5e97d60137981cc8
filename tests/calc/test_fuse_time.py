from math import inf

import pytest
from hypothesis import given
from hypothesis import strategies as st

from vandoc.ground.calc.fuse import FAMILIES
from vandoc.ground.calc.fuse_time import opening_time, sure_multiple

# DIN 72581-3 form E, read in a published extract: multiple, shortest and longest opening time in seconds.
FORM_E = [(1.0, 360000, inf), (1.35, 60, 1800), (2.0, 2, 60), (3.5, 0.2, 7)]


@pytest.mark.parametrize(("multiple", "shortest_s", "longest_s"), FORM_E)
def test_operating_time_of_form_e_matches_its_gates(multiple, shortest_s, longest_s):
    found = opening_time("E", 40.0, 40.0 * multiple)
    assert (found.shortest_s, found.longest_s, found.from_memory) == (shortest_s, longest_s, False)


def test_between_gates_the_bounds_of_both_sides_hold():
    found = opening_time("E", 40.0, 100.0)  # 2.5 times
    assert (found.shortest_s, found.longest_s) == (0.2, 60)
    assert opening_time("E", 40.0, 45.0).longest_s == inf, "1.125 times need not open"
    assert opening_time("E", 40.0, 0.0).longest_s == inf


def test_figures_from_memory_are_marked():
    assert opening_time("C", 10.0, 20.0).from_memory
    assert opening_time("E", 40.0, 40 * 6.0).from_memory


def test_families_without_gates_are_not_guessed():
    assert opening_time("class-T", 200.0, 2000.0) is None
    assert sure_multiple("ANL") is None
    assert sure_multiple("E") == 1.35


@given(
    st.sampled_from(sorted(FAMILIES)),
    st.floats(1, 300),
    st.floats(0, 5000),
    st.floats(0, 5000),
)
def test_more_current_never_takes_longer(family, rating_a, one_a, other_a):
    less, more = sorted((one_a, other_a))
    slow, quick = opening_time(family, rating_a, less), opening_time(family, rating_a, more)
    if slow is None:
        assert quick is None
        return
    assert quick.shortest_s <= slow.shortest_s
    assert quick.longest_s <= slow.longest_s
    assert slow.shortest_s <= slow.longest_s


@pytest.mark.parametrize(("rating_a", "current_a"), [(0, 10), (-1, 10), (10, -1), (inf, 1), (10, inf)])
def test_impossible_numbers_are_refused(rating_a, current_a):
    with pytest.raises(ValueError, match="_a must"):
        opening_time("E", rating_a, current_a)
