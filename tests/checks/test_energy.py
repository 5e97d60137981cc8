"""The energy of a van judged: at the edge of each limit, with sums that come out when done by hand."""

import re

import pytest

REMOVE = "(remove)"


def energy_of(judged):
    return judged.van.energy.banks[0]


def numbers(line):
    return [float(text) for text in re.findall(r"\d+(?:\.\d+)?", line)]


def test_planned_nights_are_compared_with_the_worst_case_of_the_worst_season(spoil, sound):
    seasons = energy_of(sound).seasons.values()
    days = min(season.days_dark.low for season in seasons)
    kept, broken = int(days), int(days) + 1
    assert not spoil({("use", "nights"): kept}).of("nights-not-lasted")
    (found,) = spoil({("use", "nights"): broken}).of("nights-not-lasted")
    assert found.severity == "review"
    assert found.value == pytest.approx(days)
    assert found.limit == broken
    assert found.message.endswith(f"; {broken} night{'s' * (broken > 1)} needed.")
    shown = re.search(r"only (\d+(?:\.\d+)?) days", found.message)
    assert shown
    assert days - 0.1 < float(shown[1]) <= days


def test_the_sum_of_the_nights_comes_out_by_hand(spoil):
    (found,) = spoil({("use", "nights"): 40}).of("nights-not-lasted")
    usable, days = found.working.splitlines()
    capacity, depth, age, cold, rate, left = numbers(usable)
    assert capacity * depth * age * cold * rate == pytest.approx(left, rel=0.01)
    have, need, per_day, value, limit = numbers(days)
    assert have / need * per_day == pytest.approx(value, rel=0.01)
    assert (have, per_day, limit) == (left, 24, 40 * 24)


def test_a_season_without_months_of_use_gives_no_finding(spoil):
    summer = spoil({("use", "months"): [6, 7]})
    seasons = energy_of(summer).seasons
    assert seasons["winter"].days_dark.low < seasons["summer"].days_dark.low
    between = int(seasons["summer"].days_dark.low)
    assert between > seasons["winter"].days_dark.low
    assert not spoil({("use", "months"): [6, 7], ("use", "nights"): between}).of("nights-not-lasted")
    (found,) = spoil({("use", "nights"): between}).of("nights-not-lasted")
    assert "cold half of the year" in found.message


def test_all_missing_figures_are_one_finding(spoil):
    judged = spoil(
        {
            ("use", "latitude"): REMOVE,
            ("use", "driven"): REMOVE,
            ("loads", "pump", "hours"): REMOVE,
            ("loads", "lights", "hours"): REMOVE,
        }
    )
    (found,) = judged.of("energy-not-stated")
    named = found.message.partition(": ")[2].rstrip(".").split(", ")
    assert sorted(named) == ["loads.lights.hours", "loads.pump.hours", "use.driven", "use.latitude"]


def test_without_the_key_use_the_finding_is_placed_at_the_start_of_the_file(spoil):
    judged = spoil({("use",): REMOVE})
    (found,) = judged.of("energy-not-stated")
    assert found.line == judged.line(("van",))
    assert not judged.of("nights-not-lasted")


def test_solar_is_compared_with_consumption_in_the_best_case_of_both(spoil):
    judged = spoil({("use", "shade"): "95 %"})
    (found,) = judged.of("sun-never-covers")
    used = [month for month in energy_of(judged).months if month.used]
    best = max(used, key=lambda month: month.sun.high / month.need.low)
    assert (found.value, found.limit) == pytest.approx((best.sun.high, best.need.low))
    assert found.value < found.limit


def test_enough_hours_of_driving_make_up_for_missing_solar_charge(spoil):
    dark = {("use", "shade"): "95 %", ("use", "driven"): "0 h", ("use", "hook_up"): "0 h"}
    (found, *_) = spoil(dark).of("charge-below-need")
    steady, sun, value, limit = numbers(found.working)
    assert steady + sun == pytest.approx(value, rel=0.01)
    assert value < limit
    assert not spoil({**dark, ("use", "driven"): "3 h"}).of("charge-below-need")


def test_wear_compares_charge_used_with_the_worst_case_of_the_calendar_life(spoil):
    judged = spoil(
        {
            ("loads", "lights", "hours"): {"summer": "24 h", "winter": "24 h"},
            ("use", "months"): list(range(1, 13)),
            ("use", "nights"): 1,
        }
    )
    (found,) = judged.of("worn-out-by-use")
    cycles, depth, capacity, drawn, value, limit = numbers(found.working)
    assert cycles * depth * capacity / drawn == pytest.approx(value, rel=0.01)
    assert found.value == pytest.approx(energy_of(judged).years.low)
    assert value < limit


def test_nothing_about_energy_fails_a_van(spoil):
    judged = spoil({("use",): {"nights": 60, "latitude": "65 °", "shade": "100 %", "driven": "0 h"}})
    families = [f for f in judged.findings if f.rule.startswith(("energy", "nights", "sun-", "charge-below"))]
    assert families
    assert {f.severity for f in families} <= {"review", "note"}
