"""The table of figures: each case as it is written for electricians and for owners.

The cases are those of the project's own guide to its language; no published source.
"""

from datetime import date

import pytest

from vandoc.analysis.commissioning.words import shown
from vandoc.ground import figures as fig
from vandoc.ground.figures import plain
from vandoc.judgement.checks.amount import Amount, digits_to_tell_apart

DAY_H, YEAR_H = 24.0, fig.YEAR_H


@pytest.mark.parametrize(
    ("made", "written"),
    [
        (fig.quantity(8827.0, "A"), "8.83 kA"),
        (fig.quantity(8830.4, "A"), "8.83 kA"),
        (fig.quantity(20000.0, "A"), "20 kA"),
        (fig.quantity(999.6, "A"), "1 kA"),
        (fig.quantity(999.4, "A"), "999 A"),
        (fig.quantity(0.238, "V"), "238 mV"),
        (fig.quantity(1.238, "V"), "1.24 V"),
        (fig.quantity(12.72, "V", places=2), "12.72 V"),
        (fig.quantity(12.7, "V", places=2), "12.70 V"),
        (fig.quantity(99.71, "Ah"), "99.7 Ah"),
        (fig.quantity(34.0, "%"), "34 %"),
        (fig.quantity(-15.0, "°C"), "−15 °C"),
        (fig.quantity(9990.0, "W"), "9990 W"),
        (fig.quantity(0.00103, "s"), "1 ms"),
        (fig.quantity(0.1296, "s"), "130 ms"),
        (fig.quantity(4.2317, "s"), "4.2 s"),
        (fig.quantity(22783.0, "Ah/a"), "22800 Ah a year"),
        (fig.quantity(1.0, "a"), "1 year"),
        (fig.stated(7.5, "A"), "7.5 A"),
        (fig.stated(2.5, "mm²"), "2.5 mm²"),
        (fig.stated(1255.0, "W"), "1255 W"),
        (fig.stated(20000.0, "A"), "20 kA"),
        (fig.stated(0.05, "A"), "0.05 A"),
    ],
)
def test_quantities_for_electricians(made, written):
    assert plain(made) == written
    assert made.count("\u00a0") >= 1, "the unit stays on the line of its number"


@pytest.mark.parametrize(
    ("made", "written"),
    [
        (fig.duration(0.555, 0.974, "down"), "33 to 58 min"),
        (fig.duration(22.6, 35.8, "down"), "22 to 35 h"),
        (fig.duration(1.75 * DAY_H, 2.89 * DAY_H, "down"), "1.7 to 2.8 days"),
        (fig.duration(1.28 * DAY_H, 1.45 * DAY_H, "down"), "30 to 34 h"),
        (fig.duration(26.4 * DAY_H, sure="down"), "26 days"),
        (fig.duration(5.3, 6.47, "up"), "5.3 to 6.5 h"),
        (fig.span(10.0, 15.0, "a"), "10 to 15 years"),
        (fig.span(34.1, 44.9, "%", sure="down", places=0), "34 to 44 %"),
        (fig.span(14.2, 14.6, "V", places=2), "14.20 to 14.60 V"),
        (fig.span(203.4, 1212.0, "A"), "0.203 to 1.21 kA"),
        (fig.span(0.0011, 0.0324, "s"), "1.1 to 32 ms"),
        (fig.span(0.0053, 1.0, "s"), "5.3 ms to 1 s"),
        (fig.time_left(0.943 * DAY_H, 3 * DAY_H), "about 1 day (22.6 h)"),
        (fig.time_left(2.97 * DAY_H, 3 * DAY_H), "2.9 days"),
    ],
)
def test_ranges_and_times_for_electricians(made, written):
    assert plain(made) == written


@pytest.mark.parametrize(
    ("made", "written"),
    [
        (fig.owners_times(0.555, 0.974, "down"), "33 to 58 minutes"),
        (fig.owners_time(0.555), "about 35 minutes"),
        (fig.owners_time(0.555, "down"), "about 30 minutes"),
        (fig.owners_time(0.555, "up"), "about 35 minutes"),
        (fig.owners_times(22.6, 35.8, "down"), "22 to 35 hours"),
        (fig.owners_times(30.7, 34.7, "down"), "30 to 34 hours"),
        (fig.owners_times(1.75 * DAY_H, 2.89 * DAY_H, "down"), "1½ to 2½ days"),
        (fig.owners_time(2.89 * DAY_H), "about 3 days"),
        (fig.owners_time(1.2, "down"), "about 1 hour"),
        (fig.owners_time(26.0 * DAY_H, "down"), "more than 3 weeks"),
        (fig.owners_time(26.0 * DAY_H, "up"), "about 4 weeks"),
        (fig.owners_times(3 * YEAR_H / 12, 7.9 * YEAR_H / 12, "down"), "3 to 7 months"),
        (fig.owners_times(10.0 * YEAR_H, 15.9 * YEAR_H, "down"), "10 to 15 years"),
        (fig.owners_times(26.0, 26.9, "down"), "about 26 hours"),
        (fig.owners_times(0.7, 1.4, "down"), "42 to 84 minutes"),
        (fig.owners_times(0.4, 5.0, "down"), "24 minutes to 5 hours"),
        (fig.owners_time(0.0), "no time"),
        (fig.owners_time(0.05, "down"), "less than 5 minutes"),
        (fig.quantity(0.238, "V", sure="nearest"), "238 mV"),
        (fig.owners_number(0.238), "0.24"),
        (fig.quantity(12.72, "V", places=1), "12.7 V"),
    ],
)
def test_figures_for_owners(made, written):
    assert plain(made) == written


def test_dates_and_months():
    assert fig.day(date(2026, 5, 12)) == "12 May 2026"
    assert fig.year_month(date(2026, 10, 1)) == "October 2026"
    assert [fig.month(number) for number in (1, 7, 12)] == ["January", "July", "December"]


def test_findings_and_test_sheets_show_the_same_figure():
    for value, unit, quantity in (
        (8827.0, "A", "current"),
        (0.04613, "V", "voltage"),
        (1234.0, "Ω", "resistance"),
    ):
        assert Amount(value, unit).text() == shown(quantity, value) == plain(fig.quantity(value, unit))


def test_a_value_at_its_limit_shows_one_more_digit():
    value, limit = Amount(999.96, "A"), Amount(1000.0, "A")
    digits = digits_to_tell_apart(value, limit)
    assert (value.text(digits), limit.text(digits)) == ("999.96 A", "1 kA")


@pytest.mark.parametrize("bad", [float("nan"), float("inf"), float("-inf")])
def test_what_is_no_number_is_refused(bad):
    for make in (
        fig.number,
        fig.stated,
        lambda value: fig.quantity(value, "s"),
        lambda value: fig.fixed(value, 1),
    ):
        with pytest.raises(ValueError, match="finite"):
            make(bad)
