from math import nan

import pytest
from hypothesis import given
from hypothesis import strategies as st

from vandoc.ground.calc.wear import years_until_worn_out
from vandoc.ground.chemistry import chemistry_of


def test_full_cycles_of_the_stated_depth_give_the_stated_count():
    # Comparison paper of lead-acid and lithium-ion batteries: 1200 cycles to 50 % for flooded lead, 1000 for
    # sealed. One such cycle a day of 200 days a year.
    assert years_until_worn_out(100, 1200, 0.5, 200 * 50, 99) == pytest.approx(6)
    assert years_until_worn_out(100, 1000, 0.5, 200 * 50, 99) == pytest.approx(5)
    assert chemistry_of("flooded").cycle_life.high == 1200
    assert chemistry_of("AGM").cycle_life.high == chemistry_of("gel").cycle_life.high == 1000


def test_unused_it_ages():
    assert years_until_worn_out(100, 1200, 0.5, 0, 7) == 7


@given(st.floats(10, 1000), st.floats(100, 5000), st.floats(0.1, 1), st.floats(0, 1e5), st.floats(0, 1e5))
def test_more_use_never_lasts_longer(capacity, cycles, depth, drawn, more):
    less_used = years_until_worn_out(capacity, cycles, depth, drawn, 12)
    assert years_until_worn_out(capacity, cycles, depth, drawn + more, 12) <= less_used <= 12


@pytest.mark.parametrize("bad", [-1, nan])
def test_impossible_numbers_are_refused(bad):
    for place in range(5):
        numbers = [100, 1000, 0.5, 5000, 8]
        numbers[place] = bad
        with pytest.raises(ValueError, match="must"):
            years_until_worn_out(*numbers)
    with pytest.raises(ValueError, match="depth"):
        years_until_worn_out(100, 1000, 1.5, 5000, 8)
