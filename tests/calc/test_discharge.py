from math import inf, nan

import pytest
from hypothesis import given
from hypothesis import strategies as st

from vandoc.ground.calc.discharge import (
    age_part,
    cold_part,
    coldest_known_c,
    days_until_empty,
    exponent_from,
    hours_at_one_ampere_form,
    hours_at_rated_form,
    rate_part,
)
from vandoc.ground.chemistry import known

# Published examples of the form with the capacity at 1 A: Ah, A, k, h, and how it is published.
ONE_AMPERE = [
    (100, 5, 1.2, 14.5, 1e-3),  # engineering encyclopaedia article: 14.5 h
    (250, 20, 1.3, 5.088631644, 1e-6),  # tutorial: 5.088631644 h
]
# The form with a rating of H hours: Ah, H, A, k, h. The first from memory (encyclopaedia article: 8.7 h), the
# second an alternative-energy text (100 Ah at 20 h gives 60 Ah at 20 A), the others worked by hand.
RATED = [
    (100, 20, 10, 1.2, 8.7, 2e-3),
    (100, 20, 20, 1.3685, 3.0, 1e-3),
    (100, 20, 5, 1.2, 20.0, 1e-12),
    (100, 20, 25, 1.1, 3.40536, 1e-5),
    (200, 10, 40, 1.25, 4.204482, 1e-6),
    (110, 20, 100, 1.15, 0.711946, 1e-5),
]


@pytest.mark.parametrize(("capacity", "current", "exponent", "hours", "tolerance"), ONE_AMPERE)
def test_published_examples_of_capacity_at_one_ampere(capacity, current, exponent, hours, tolerance):
    assert hours_at_one_ampere_form(capacity, current, exponent) == pytest.approx(hours, rel=tolerance)


@pytest.mark.parametrize(("capacity", "rated", "current", "exponent", "hours", "tolerance"), RATED)
def test_published_examples_with_a_rated_capacity(capacity, rated, current, exponent, hours, tolerance):
    assert hours_at_rated_form(capacity, rated, current, exponent) == pytest.approx(hours, rel=tolerance)


def test_the_two_forms_are_not_the_same():
    # The trap: 100 Ah taken for the capacity at 1 A gives 14.5 h at 5 A; as a 20 h rating it gives 20 h.
    assert hours_at_rated_form(100, 20, 5, 1.2) == pytest.approx(20)
    assert hours_at_one_ampere_form(100, 5, 1.2) == pytest.approx(14.5, rel=1e-3)


def test_exponent_from_two_published_discharges():
    # Electric-vehicle article: 186 A for 38 min, 93 A for 85 min; k worked from the published pair.
    exponent = exponent_from(186, 38 / 60, 93, 85 / 60)
    assert exponent == pytest.approx(1.1615, rel=1e-4)
    at_one = 186**exponent * 38 / 60
    assert hours_at_one_ampere_form(at_one, 93, exponent) == pytest.approx(85 / 60)


# US Army TM 10-6140-200-14, par. 1-9 (motive power, lead): 75 % at 0 °C, 40 % at −17.8 °C (0 °F). Exact.
def test_capacity_of_cold_lead_acid_is_that_of_the_army_manual():
    for celsius, part in [(26.7, 1.0), (0.0, 0.75), (-17.8, 0.40)]:
        found = cold_part("flooded", celsius)
        assert (found.low, found.high, found.from_memory) == (pytest.approx(part), pytest.approx(part), False)


@pytest.mark.parametrize("chemistry", known())
def test_colder_never_gives_more(chemistry):
    coldest = coldest_known_c(chemistry)
    steps = [coldest + 0.5 * n for n in range(int((40 - coldest) * 2))]
    found = [cold_part(chemistry, celsius) for celsius in steps]
    assert all(0 < part.low <= part.high <= 1 and part.source for part in found)
    assert [part.low for part in found] == sorted(part.low for part in found)
    assert [part.high for part in found] == sorted(part.high for part in found)
    with pytest.raises(ValueError, match="celsius"):
        cold_part(chemistry, coldest - 0.1)


@given(st.floats(1, 1000), st.floats(0, 500), st.floats(0.01, 100), st.floats(1, 1.5))
def test_more_current_never_leaves_more(capacity, current, more, exponent):
    part = rate_part(capacity, 20, current, exponent)
    assert 0 < part <= 1
    assert rate_part(capacity, 20, current + more, exponent) <= part + 1e-12


@given(st.floats(0, 50), st.floats(0, 10), st.floats(0.5, 30))
def test_older_never_gives_more(age, more, life):
    assert 0.8 - 1e-12 <= age_part(age + more, life) <= age_part(age, life) <= 1


def test_days_until_empty_by_hand():
    assert days_until_empty(100, 25, 0) == 4
    assert days_until_empty(100, 25, 20) == 20
    assert days_until_empty(100, 25, 25) == inf
    assert days_until_empty(0, 25, 0) == 0


@given(st.floats(0, 1000), st.floats(0, 200), st.floats(0, 200), st.floats(0, 50))
def test_more_sun_never_shortens_the_stay(usable, need, supply, more):
    assert days_until_empty(usable, need, supply + more) >= days_until_empty(usable, need, supply)


@pytest.mark.parametrize("bad", [-1, nan, inf])
def test_impossible_numbers_are_refused(bad):
    for call in (
        lambda: hours_at_one_ampere_form(bad, 1, 1.2),
        lambda: hours_at_one_ampere_form(1, bad, 1.2),
        lambda: hours_at_rated_form(100, 20, bad, 1.2),
        lambda: hours_at_rated_form(100, bad, 5, 1.2),
        lambda: hours_at_rated_form(100, 20, 5, bad),
        lambda: rate_part(100, 20, bad, 1.2),
        lambda: exponent_from(bad, 1, 2, 1),
        lambda: exponent_from(1, 1, 2, bad),
        lambda: age_part(bad, 5),
        lambda: age_part(1, bad),
        lambda: days_until_empty(bad, 1, 1),
    ):
        with pytest.raises(ValueError, match="must"):
            call()
    with pytest.raises(ValueError, match="differ"):
        exponent_from(5, 1, 5, 2)
    with pytest.raises(ValueError, match="chemistry"):
        cold_part("lead", 0)
