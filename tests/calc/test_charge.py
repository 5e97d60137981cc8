from itertools import pairwise
from math import inf, nan

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from vandoc.ground.calc.charge import Battery, constant_current_hours, course, hours_to_full
from vandoc.ground.chemistry import chemistry_of


def test_constant_current_time_matches_worked_examples():
    # School problem: 4.5 A for 15 h at 90 % store 60.75 Ah.
    assert constant_current_hours(60.75, 4.5, 0.9) == pytest.approx(15)
    # Course problem: 100 Ah from half to full with 0.5 C takes an hour.
    assert constant_current_hours(50, 50, 1) == 1
    # Worked by hand: 200 Ah, half missing, 40 A, 85 %: 2.9412 h.
    assert constant_current_hours(100, 40, 0.85) == pytest.approx(2.9412, rel=1e-4)


@pytest.mark.parametrize(("capacity", "current"), [(100, 10), (120, 12)])
def test_the_common_charging_time_of_lead_acid_is_in_the_range(capacity, current):
    # Vehicle battery page, empirical, taper included: hours = 1.6 · Ah · part missing / A; here
    # half is missing.
    figures = chemistry_of("flooded")
    published = 1.6 * capacity * 0.5 / current
    acceptance, kept = figures.charge_acceptance_per_h, figures.charge_efficiency
    quick = hours_to_full(Battery(capacity, acceptance.high, kept.high), 0.5, current)
    slow = hours_to_full(Battery(capacity, acceptance.low, kept.low), 0.5, current)
    assert quick <= published <= slow


def test_falling_current_is_the_ampere_hour_law():
    # As the law of 1935 is quoted: 90 % of the charge is back in 2 to 3 h (with no other limit).
    points = course(Battery(100, 1.0, 1.0), 0.0, [1e6], 0.05, 10)
    back_90 = next(point.hours for point in points if point.soc >= 0.9)
    assert 2 <= back_90 <= 3


BATTERIES = st.builds(
    Battery, st.floats(20, 800), st.floats(0.2, 10), st.floats(0.7, 1), st.floats(5, 200) | st.just(inf)
)


@settings(max_examples=30, deadline=None)
@given(BATTERIES, st.floats(0.05, 0.95), st.floats(2, 100))
def test_simulation_agrees_with_the_closed_form(battery, soc, current):
    closed = hours_to_full(battery, soc, current)
    points = course(battery, soc, [current], max(closed, 0.02) / 200, 2 * closed + 1)
    assert points[-1].hours == pytest.approx(closed, rel=0.011)


@settings(max_examples=30, deadline=None)
@given(BATTERIES, st.floats(0, 1), st.floats(0, 100), st.floats(0, 50))
def test_more_current_never_takes_longer(battery, soc, current, more):
    assert hours_to_full(battery, soc, current + more) <= hours_to_full(battery, soc, current)


@settings(max_examples=30, deadline=None)
@given(BATTERIES, st.floats(0, 0.9), st.lists(st.floats(-20, 60), min_size=1, max_size=12))
def test_charge_is_conserved_and_limits_hold(battery, soc, supply):
    points = course(battery, soc, supply, 0.5, 12)
    for before, after in pairwise(points):
        step = after.hours - before.hours
        kept = battery.efficiency if after.soc > before.soc else 1.0
        gained = (after.soc - before.soc) * battery.capacity_ah
        assert gained == pytest.approx(after.current_a * step * kept, abs=1e-6)
        assert 0 <= after.soc <= 1
        assert after.current_a <= min(battery.limit_a, max(supply)) + 1e-6 or max(supply) < 0


def test_a_supply_that_repeats_charges_on_the_second_day():
    day = [0.0] * 16 + [10.0] * 16 + [0.0] * 16
    points = course(Battery(200, 10, 1), 0.2, day, 0.5, 100)
    assert points[-1].soc >= 0.99
    assert 24 < points[-1].hours < 72


def test_charging_time_at_the_ends_of_its_range():
    battery = Battery(100, 1, 0.9)
    assert hours_to_full(battery, 1.0, 10) == 0
    assert hours_to_full(battery, 0.5, 0) == inf
    assert hours_to_full(Battery(100, 1, 0.9, limit_a=5), 0.5, 50) == hours_to_full(battery, 0.5, 5)
    assert course(battery, 0.5, [-10], 1, 100)[-1].soc == 0


@pytest.mark.parametrize("bad", [-1, 0, nan])
def test_impossible_numbers_are_refused(bad):
    for call in (
        lambda: Battery(bad, 1, 0.9),
        lambda: Battery(100, bad, 0.9),
        lambda: Battery(100, 1, bad),
        lambda: Battery(100, 1, 0.9, limit_a=bad),
        lambda: constant_current_hours(10, bad, 0.9),
        lambda: constant_current_hours(10, 1, bad),
        lambda: course(Battery(100, 1, 0.9), 0.5, [1], bad, 10),
        lambda: course(Battery(100, 1, 0.9), 0.5, [1], 1, bad),
    ):
        with pytest.raises(ValueError, match="must"):
            call()


def test_other_impossible_arguments_are_refused():
    battery = Battery(100, 1, 0.9)
    for call in (
        lambda: Battery(100, 1, 1.1),
        lambda: constant_current_hours(10, 1, 1.1),
        lambda: hours_to_full(battery, 1.1, 5),
        lambda: hours_to_full(battery, 0.5, -5),
        lambda: course(battery, 0.5, [], 1, 10),
        lambda: course(battery, 0.5, [nan], 1, 10),
    ):
        with pytest.raises(ValueError, match="must"):
            call()
