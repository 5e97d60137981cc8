"""What holds for every figure: on its safe side, low before high, its unit once, never across a limit."""

import re
from fractions import Fraction

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from vandoc.ground import figures as fig
from vandoc.ground.figures import plain
from vandoc.judgement.checks.amount import MOST_DIGITS, Amount, digits_to_tell_apart

DUST = 1e-8  # of floating point, in parts of the value
HOURS = {
    "minute": 1 / 60,
    "min": 1 / 60,
    "hour": 1.0,
    "h": 1.0,
    "day": 24.0,
    "week": 168.0,
    "month": fig.YEAR_H / 12,
    "year": fig.YEAR_H,
}
PREFIX = {"k": 1e3, "m": 1e-3, "": 1.0}
times = st.floats(1e-3, 3e5)
values = st.floats(1e-6, 1e7)
sides = st.sampled_from(["nearest", "down", "up"])


def count(text):
    """The number that a text is, halves included."""
    whole, half = text.replace("−", "-").removesuffix("½"), text.endswith("½")
    return float(whole or 0) + 0.5 * half


def times_in(text):
    """The ends of a time or a range of times in hours."""
    ends = re.findall(r"([\d.½]+)(?:\u00a0| )?([a-z]+)?", text)
    units = [unit.removesuffix("s") if unit != "s" else unit for _, unit in ends]
    if units[0] == "to":
        units[0] = units[-1]
    return [count(number) * HOURS[unit] for (number, _), unit in zip(ends, units, strict=True)]


def ends_of(text, unit):
    """The ends of a quantity or a range, in its unit."""
    found = re.fullmatch(rf"(?:([−\d.]+) to )?([−\d.]+)(?:\u00a0([km]?){re.escape(unit)})?", text)
    assert found, text
    return [count(end) * PREFIX[found[3] or ""] for end in (found[1] or found[2], found[2])]


@given(values, st.sampled_from(["A", "V", "Ah", "W", "Ω"]), st.integers(2, 6))
def test_available_is_never_rounded_up_and_needed_never_down(value, unit, digits):
    (down, _), (up, _) = (ends_of(fig.quantity(value, unit, digits, side), unit) for side in ("down", "up"))
    assert down <= value * (1 + DUST)
    assert up >= value * (1 - DUST)
    assert up - down <= 10 ** (2 - digits) * value, "no more is given away than the last digit"
    (near, _) = ends_of(fig.quantity(value, unit, digits), unit)
    assert near == pytest.approx(value, rel=0.5001 * 10 ** (1 - digits))


@given(values, values, st.sampled_from(["A", "V", "Ah", "W"]), sides)
def test_a_range_goes_upwards_and_has_its_unit_once(one, other, unit, side):
    low, high = sorted((one, other))
    text = fig.span(low, high, unit, sure=side)
    assert len(re.findall(r"[A-Za-zΩ]+", text.replace(" to ", " "))) == 1
    first, last = ends_of(text, unit)
    assert first <= last
    if side == "down":
        assert first <= low * (1 + DUST)
        assert last <= high * (1 + DUST)
    if side == "up":
        assert first >= low * (1 - DUST)
        assert last >= high * (1 - DUST)


@given(times, times, st.sampled_from(["down", "up"]))
def test_times_for_electricians_keep_to_the_safe_side(one, other, side):
    low, high = sorted((one, other))
    text = fig.duration(low, high, side)
    found = times_in(text)
    assert found == sorted(found)
    assert len(re.findall(r"min|h|days?", text)) == 1
    for shown, true in zip((found[0], found[-1]), (low, high), strict=True):
        assert shown <= true * (1 + DUST) if side == "down" else shown >= true * (1 - DUST)


@given(times, times, st.sampled_from(["down", "up"]))
def test_times_for_owners_keep_to_the_safe_side(one, other, side):
    low, high = sorted((one, other))
    text = fig.owners_times(low, high, side)
    if "less than" in text:
        return
    found = times_in(text.removeprefix("about ").removeprefix("more than "))
    assert found == sorted(found)
    assert ("about" in text) <= (" to " not in text), "a range is not about anything"
    for shown, true in zip((found[0], found[-1]), (low, high), strict=True):
        assert shown <= true * (1 + DUST) if side == "down" else shown >= true * (1 - DUST)
    assert not re.search(r"\d\.\d", text), "owners meet no decimals of a time"


@given(times, sides)
def test_a_time_alone_is_near_and_on_its_side(hours, side):
    text = fig.owners_time(hours, side)
    (shown,) = times_in(text.split(" ", 1)[1].removeprefix("than ")) if text != "no time" else (0.0,)
    if text.startswith("less than"):
        assert hours < shown
    elif side == "down":
        assert shown <= hours * (1 + DUST)
    elif side == "up":
        assert shown >= hours * (1 - DUST)
    else:
        assert shown == pytest.approx(hours, rel=0.51, abs=0.05)


@given(st.floats(0.01, 500), st.integers(1, 30))
def test_what_falls_short_of_a_number_of_days_never_reads_as_long(hours, days):
    assume(hours < 24 * days)
    shown = plain(fig.time_left(hours, 24.0 * days))
    exact = shown.partition("(")[2].rstrip(")") or shown
    assert times_in(exact)[-1] < 24 * days
    if "about" in shown:
        assert days > 1


@given(st.floats(1e-3, 1e5), st.floats(1e-9, 0.2), st.sampled_from(["A", "V", "%", "mm²"]))
def test_a_value_beyond_its_limit_never_looks_within_it(limit, beyond, unit):
    value, bound = Amount(limit * (1 + beyond), unit), Amount(limit, unit)
    digits = digits_to_tell_apart(value, bound)
    high, _ = ends_of(value.text(digits).replace(" ", "\u00a0"), unit)
    low, _ = ends_of(bound.text(digits).replace(" ", "\u00a0"), unit)
    assert high > low or (digits == MOST_DIGITS and high >= low * (1 - DUST))


@given(st.floats(-1e6, 1e6), st.integers(0, 4), sides)
def test_decimals_are_those_of_exact_sums(value, places, side):
    shown = Fraction(fig.fixed(value, places, side).replace("−", "-"))
    true, step = Fraction(value), Fraction(1, 10**places)
    dust = abs(true) * Fraction(1, 10**10) + Fraction(1, 10**12)
    below = {"nearest": step / 2, "down": 0, "up": step}[side]
    above = {"nearest": step / 2, "down": step, "up": 0}[side]
    assert -above - dust <= shown - true <= below + dust
