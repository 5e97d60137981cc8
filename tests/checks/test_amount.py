"""Numbers in findings: three significant digits, never a raw float; words of a van are never a template."""

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from vandoc.ground.data import Constant
from vandoc.judgement.checks.amount import Amount, digits_to_tell_apart
from vandoc.judgement.checks.report import fill, sources


@given(st.floats(min_value=1e-4, max_value=1e6), st.sampled_from(["A", "mm²", "°C", ""]))
def test_an_amount_reads_back_within_half_a_digit(value, unit):
    number, _, shown = Amount(value, unit).text().partition(" ")
    factor = {f"k{unit}": 1e3, unit: 1.0, f"m{unit}": 1e-3}[shown]
    assert float(number) * factor == pytest.approx(value, rel=5e-3)
    assert factor == 1 or unit == "A"
    assert re.fullmatch(r"\d+(\.\d*[1-9])?", number)


@given(st.text(max_size=60))
def test_words_of_a_van_come_out_as_they_are(text):
    assert fill("'{name}' of {other}", {"name": text, "other": Amount(3.0, "A")}) == f"'{text}' of 3 A"


@pytest.mark.parametrize("text", ["{0.__class__}", "{name}", "{", "}}", "%s", "{value:>99999999}"])
def test_braces_in_a_name_are_harmless(text):
    assert fill("'{name}' fails", {"name": text}) == f"'{text}' fails"


def test_a_value_just_above_its_limit_is_shown_as_different():
    value, limit = Amount(3.0004, "%"), Amount(3.0, "%")
    digits = digits_to_tell_apart(value, limit)
    assert (value.text(digits), limit.text(digits)) == ("3.0004 %", "3 %")


@pytest.mark.parametrize("value", [float("nan"), float("inf")])
def test_what_is_no_number_is_refused(value):
    with pytest.raises(ValueError, match="finite"):
        Amount(value, "A").text()


def test_a_source_says_that_it_is_from_memory():
    remembered = Constant("a", 1.0, "A", "ISO 13297 annex", True)
    read = Constant("b", 1.0, "A", "33 CFR 183.425", False)
    usual = Constant("c", 1.0, "A", "common practice, no source", True)
    assert sources([remembered, read, remembered]) == "ISO 13297 annex, from memory; 33 CFR 183.425"
    assert sources([usual]) == "common practice, no source"
