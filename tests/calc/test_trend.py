"""Trends against a published data set and a general-purpose library."""

from math import inf, nan

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from vandoc.ground.calc.trend import Trend, trend

# F. J. Anscombe, "Graphs in Statistical Analysis", The American Statistician 27 (1973): four sets of numbers
# with one and the same line, y = 3.00 + 0.500 x. Numbers from memory; numpy judges them as well.
X = [10.0, 8.0, 13.0, 9.0, 11.0, 14.0, 6.0, 4.0, 12.0, 7.0, 5.0]
FOURTH = [8.0] * 7 + [19.0] + [8.0] * 3
ANSCOMBE = [
    (X, [8.04, 6.95, 7.58, 8.81, 8.33, 9.96, 7.24, 4.26, 10.84, 4.82, 5.68]),
    (X, [9.14, 8.14, 8.74, 8.77, 9.26, 8.10, 6.13, 3.10, 9.13, 7.26, 4.74]),
    (X, [7.46, 6.77, 12.74, 7.11, 7.81, 8.84, 6.08, 5.39, 8.15, 6.42, 5.73]),
    (FOURTH, [6.58, 5.76, 7.71, 8.84, 8.47, 7.04, 5.25, 12.50, 5.56, 7.91, 6.89]),
]


@pytest.mark.parametrize(("days", "values"), ANSCOMBE, ids=["I", "II", "III", "IV"])
def test_the_line_through_four_published_data_sets_is_the_published_one(days, values):
    line = trend(list(zip(days, values, strict=True)))
    assert line.start == pytest.approx(3.00, abs=0.005)
    assert line.per_day == pytest.approx(0.500, abs=0.0005)


numbers = st.floats(-1e3, 1e3)


@given(st.lists(st.tuples(st.floats(0, 4000), numbers), min_size=2, max_size=12))
def test_the_line_is_that_of_numpy(readings):
    days, values = zip(*readings, strict=True)
    assume(max(days) - min(days) > 1)
    line = trend(readings)
    slope, intercept = np.polyfit(days, values, 1)
    middle = sum(days) / len(days)
    assert line.per_day == pytest.approx(slope, rel=1e-6, abs=1e-6)
    assert line.at(middle) == pytest.approx(slope * middle + intercept, rel=1e-6, abs=1e-6)


def test_a_trend_names_the_time_at_which_it_reaches_a_limit():
    assert trend([(0, 12.8), (365, 12.7), (730, 12.6)]).reaches(12.5) == pytest.approx(1095)
    assert Trend(1.0, 0.0).reaches(2.0) == inf
    assert Trend(1.0, 5e-324).reaches(2.0) == inf


@pytest.mark.parametrize("readings", [[], [(0, 1)], [(3, 1), (3, 2)], [(0, nan), (1, 1)], [(0, 1), (inf, 1)]])
def test_too_few_or_unusable_readings_are_refused(readings):
    with pytest.raises(ValueError, match=r"trend needs|not finite"):
        trend(readings)
