"""Plots are read back as XML: what is drawn must be what the numbers say."""

import re
from datetime import date, timedelta
from itertools import pairwise
from xml.etree import ElementTree as ET

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from vandoc.ground.calc.trend import trend
from vandoc.pages.diagram.plots import (
    Course,
    MonthBar,
    VoltageStep,
    charge_plot,
    charge_text,
    sun_plot,
    sun_text,
    trend_plot,
    trend_text,
    voltage_plot,
    voltage_text,
)
from vandoc.pages.diagram.plots.axis import apart, marks
from vandoc.pages.diagram.plots.sun import sun_title
from vandoc.pages.diagram.words import WORDS

PLOT = WORDS["plot"]
SVG = "{http://www.w3.org/2000/svg}"
NASTY = "<script>alert(1)</script>&\"'\u202e{0.__class__}\x07"
LOWS = [3, 6, 15, 30, 46, 50, 52, 47, 30, 12, 5, 2]
HIGHS = [8, 15, 35, 60, 80, 85, 84, 75, 50, 30, 12, 6]
YEAR = [
    MonthBar(month, low, high, 45, 3 <= month <= 10)
    for month, low, high in zip(range(1, 13), LOWS, HIGHS, strict=True)
]
RISING = [(n * 0.5, min(1.0, 0.5 + n * 0.05)) for n in range(13)]
SLOWER = [(n * 0.5, min(1.0, 0.5 + n * 0.025)) for n in range(24)]
EMPTYING = [(n * 0.5, max(0.0, 0.5 - n * 0.1)) for n in range(24)]


def parsed(svg: str) -> ET.Element:
    root = ET.fromstring(svg)
    assert root.tag == f"{SVG}svg"
    assert root.get("role") == "img"
    return root


def words(root: ET.Element) -> str:
    return " ".join("".join(text.itertext()) for text in root.iter(f"{SVG}text"))


def bars(root: ET.Element) -> list[ET.Element]:
    return list(root.iter(f"{SVG}rect"))


def test_heights_of_the_suns_bars_are_its_numbers():
    root = parsed(sun_plot("sun", YEAR))
    drawn = bars(root)
    assert len(drawn) == 24
    ranges = [float(bar.get("height")) for bar in drawn[0::2]]
    lows = [float(bar.get("height")) for bar in drawn[1::2]]
    per_ah = lows[6] / YEAR[6].low
    for bar, low, rest in zip(YEAR, lows, ranges, strict=True):
        assert low == pytest.approx(bar.low * per_ah, abs=0.02)
        assert rest == pytest.approx((bar.high - bar.low) * per_ah, abs=0.02)
    feet = {round(float(bar.get("y")) + float(bar.get("height")), 1) for bar in drawn[1::2]}
    assert len(feet) == 1, "all bars stand on zero"
    (need,) = (line for line in root.iter(f"{SVG}path") if line.get("class") == "need")
    level = float(re.search(r"M \S+ (\S+)", need.get("d"))[1])
    assert feet.pop() - level == pytest.approx(45 * per_ah, abs=0.1)


def bar(low: float, high: float, month: int = 6, used: bool = True) -> MonthBar:
    return MonthBar(month, low, high, 50, used)


@pytest.mark.parametrize(
    ("months", "title"),
    [
        ([bar(60, 90), bar(20, 30, 12, False)], PLOT["sun_always"]),
        ([bar(20, 30), bar(60, 90, 12, False)], PLOT["sun_never"]),
        ([bar(60, 90, 5), bar(60, 90, 6), bar(20, 30, 10)], "Solar covers your use, except in October"),
        ([bar(60, 90, 6), bar(20, 60, 9), bar(20, 30, 10)], "Solar covers your use in June"),
        (
            [bar(20, 60, 6), bar(20, 60, 7), bar(20, 60, 8)],
            "In a sunny region, solar covers your use in June, July and August",
        ),
        ([bar(50, 50, 6)], PLOT["sun_always"]),
        ([bar(60, 90, 6, False)], PLOT["sun_always"]),
    ],
)
def test_the_title_is_the_message(months, title):
    assert sun_title(months) == title
    root = parsed(sun_plot("sun", months))
    assert root.find(f"{SVG}title").text == title
    assert sun_text(months)[0] == title
    assert len(sun_text(months)) == len(months) + 1


def test_a_plot_of_charging_shows_best_and_worst_case():
    root = parsed(charge_plot("charge", "mains charger", RISING, SLOWER))
    # Straight lines: 0.99 is reached after 4.9 h and 9.8 h.
    assert root.find(f"{SVG}title").text == "mains charger: fully charged in 4.9 to 9.8 h"
    assert "best case" in words(root)
    assert "worst case" in words(root)
    steps = charge_text("x", RISING, SLOWER)
    assert steps[1] == "after 2.5 h in the best case, 5 h in the worst case: 75 % full"


def test_a_plot_of_charging_that_may_never_end():
    assert "in the best case, never in the worst case" in charge_text("sun", RISING, EMPTYING, "days")[0]
    assert "not fully charged within" in charge_text("sun", EMPTYING, EMPTYING)[0]
    for slow in (EMPTYING, [(0.0, 0.5)], RISING):
        parsed(charge_plot("sun", "sun", RISING, slow, "days"))
    assert charge_text("x", RISING, RISING)[0] == "x: fully charged in 4.9 h"


SUPPLY = [
    VoltageStep("battery fuse", 0.05),
    VoltageStep("feed", 0.2),
    VoltageStep("tiny", 0.001),
    VoltageStep("speck", 0.001),
]
BACK = [VoltageStep("return", 0.15)]


def test_voltage_steps_follow_each_other():
    root = parsed(voltage_plot("drop", "fridge", 12.0, SUPPLY, BACK, 0.6))
    assert root.find(f"{SVG}title").text == "fridge: voltage drop 402 mV of 12.00 V, supply and return"
    drawn = bars(root)
    assert len(drawn) == 4, "the two small steps are drawn as one"
    widths = [float(bar.get("width")) for bar in drawn]
    assert widths[1] / widths[0] == pytest.approx(4, rel=0.01)
    assert widths[3] / widths[0] == pytest.approx(3, rel=0.01)
    ends = [float(bar.get("x")) + width for bar, width in zip(drawn, widths, strict=True)]
    assert float(drawn[1].get("x")) == pytest.approx(ends[0], abs=0.02)
    assert "11.60 V" in words(root)
    assert voltage_text("fridge", 12.0, SUPPLY, BACK, 0.6)[-2].endswith("11.60 V remaining")
    assert len(voltage_text("fridge", 12.0, SUPPLY, BACK, 0.6)) == 7


def test_names_stay_text():
    for svg in (
        charge_plot(NASTY, NASTY, RISING, SLOWER),
        voltage_plot(NASTY, NASTY, 12, [VoltageStep(NASTY, 0.1)], [VoltageStep(NASTY, 0.1)], 0.5),
        sun_plot(NASTY, YEAR),
    ):
        root = parsed(svg)
        assert not list(root.iter(f"{SVG}script"))
        assert "\u202e" not in svg
        assert "&#8238;" not in svg
        assert root.get("id").isascii()
    assert "{0.__class__}" in charge_text(NASTY, RISING, SLOWER)[0]


def test_nothing_drawn_beyond_its_frame():
    for svg in (
        sun_plot("a", YEAR),
        charge_plot("b", "solar controller with a rather long name", RISING, EMPTYING, "days"),
        voltage_plot("c", "fridge", 12.0, SUPPLY, BACK, 0.6),
    ):
        root = parsed(svg)
        width, height = float(root.get("width")), float(root.get("height"))
        assert width <= 324, "a phone's page is no wider"
        for bar in bars(root):
            assert 0 <= float(bar.get("x")) <= float(bar.get("x")) + float(bar.get("width")) <= width
            assert 0 <= float(bar.get("y")) <= height
        for text in root.iter(f"{SVG}text"):
            if text.get("x"):
                assert 0 <= float(text.get("x")) <= width
                assert 0 <= float(text.get("y")) <= height


@settings(max_examples=30, deadline=None)
@given(st.lists(st.tuples(st.floats(0, 500), st.floats(0, 500), st.floats(0, 500)), min_size=1, max_size=12))
def test_any_year_can_be_drawn(numbers):
    months = [MonthBar(n, min(a, b), max(a, b), need) for n, (a, b, need) in enumerate(numbers, start=1)]
    assert "nan" not in sun_plot("sun", months)
    parsed(sun_plot("sun", months))


@given(st.floats(1e-3, 1e5), st.integers(2, 8))
def test_marks_begin_at_zero_and_reach_the_maximum(most, count):
    found = marks(most, count)
    assert found[0] == 0
    assert found[-1] >= most * (1 - 1e-6)
    assert len(found) <= count + 2


@given(st.lists(st.floats(0, 100), min_size=1, max_size=6), st.floats(1, 20))
def test_labels_keep_apart_and_in_order(wanted, gap):
    found = sorted(apart(wanted, gap, 0, 100))
    for before, after in pairwise(found):
        assert after - before >= min(gap, 100 / max(1, len(wanted) - 1)) - 1e-6
    assert found[0] >= -1e-6
    assert found[-1] <= 100 + 1e-6


def test_plots_of_nothing_are_refused():
    with pytest.raises(ValueError, match="month"):
        sun_plot("sun", [])
    with pytest.raises(ValueError, match="points"):
        charge_plot("charge", "x", [], RISING)


def course(*values: float, limit: float | None = None, every: int = 365) -> Course:
    readings = tuple((date(2026, 3, 14) + timedelta(days=every * n), value) for n, value in enumerate(values))
    points = [((day - readings[0][0]).days, value) for day, value in readings]
    return Course("drop of the fridge", readings, trend(points) if len(points) > 1 else None, limit)


def volts(value: float) -> str:
    return f"{value:.2f} V"


def test_a_trend_names_the_month_in_which_it_passes_its_limit():
    rising = course(0.20, 0.25, 0.30, limit=0.40)
    assert rising.reaches == date(2026, 3, 14) + timedelta(days=4 * 365)
    root = parsed(trend_plot("trend", rising, volts))
    assert "expected in March 2030" in words(root)
    dots = list(root.iter(f"{SVG}circle"))
    assert len(dots) == 3
    heights = [float(dot.get("cy")) for dot in dots]
    assert heights[0] - heights[1] == pytest.approx(heights[1] - heights[2], abs=0.02)
    assert trend_text(rising, volts)[1:] == [
        "14 March 2026: 0.20 V",
        "14 March 2027: 0.25 V",
        "13 March 2028: 0.30 V",
        "limit: 0.40 V",
    ]


@pytest.mark.parametrize(
    "calm",
    [
        course(0.30, 0.25, limit=0.40),  # runs away from it
        course(0.30, 0.30, limit=0.40),  # level
        course(0.45, 0.50, limit=0.40),  # has passed it: a finding of its own
        course(0.30, limit=0.40),
        course(0.30, 0.35),
        course(0.30, 0.30 + 1e-300, limit=0.40),
        course(0.0, 1e-12, limit=1e9),  # in more years than a calendar has
    ],
)
def test_a_trend_away_from_its_limit_names_no_month(calm):
    assert calm.reaches is None
    assert "passes" not in words(parsed(trend_plot("trend", calm, volts)))


@given(
    st.lists(st.floats(-1e6, 1e6), min_size=1, max_size=9),
    st.none() | st.floats(-1e6, 1e6),
    st.integers(1, 5000),
    st.text(max_size=60),
)
def test_any_course_is_drawn_within_its_frame(values, limit, every, name):
    made = course(*values, limit=limit, every=every)
    root = parsed(trend_plot("trend", Course(name + NASTY, made.readings, made.line, limit), volts))
    width, height = (float(side) for side in root.get("viewBox").split()[2:])
    for dot in root.iter(f"{SVG}circle"):
        assert 0 <= float(dot.get("cx")) <= width
        assert 0 <= float(dot.get("cy")) <= height
