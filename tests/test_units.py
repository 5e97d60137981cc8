"""Text to numbers, against the definitions of the units and GNU units."""

import math
import os
import re
import shutil
import subprocess
from itertools import permutations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from vandoc.ground.units import KINDS, USUAL, awg_size, number_in, registry

# What is written, its kind, and the number; by the SI Brochure (9th edition, 2019) and, for inch and foot, by
# the international yard and pound agreement of 1959.
READ = [
    ("length", "4.2 m", 4.2),
    ("length", "4.2m", 4.2),
    ("length", "350 cm", 3.5),
    ("length", "350 mm", 0.35),
    ("length", "12 in", 0.3048),
    ("length", "3 ft", 0.9144),
    ("length", "0 m", 0.0),
    ("area", "35 mm²", 35.0),
    ("area", "35 mm2", 35.0),
    ("area", "0.35 cm²", 35.0),
    ("opening", "60 cm²", 60.0),
    ("opening", "0.006 m²", 60.0),
    ("current", "1.5 kA", 1500.0),
    ("current", "250 mA", 0.25),
    ("voltage", "50 mV", 0.05),
    ("power", "1.2 kW", 1200.0),
    ("capacity", "110 Ah", 110.0),
    ("resistance", "3 mΩ", 0.003),
    ("torque", "7 N·m", 7.0),
    ("torque", "7 Nm", 7.0),
    ("temperature", "40 °C", 40.0),
    ("temperature", "-20 °C", -20.0),
    ("temperature", "−20 °C", -20.0),
    ("time", "90 min", 1.5),
    ("angle", "52 °", 52.0),
    ("fraction", "92 %", 92.0),
    ("coefficient", "-0.28 %/K", -0.28),
    ("coefficient", "-0.28 %/°C", -0.28),
    ("distance", "84210 km", 84210.0),
]


@pytest.mark.parametrize(("kind", "text", "number"), READ)
def test_quantities_in_usual_forms_are_read(kind, text, number):
    assert number_in(kind, text) == pytest.approx(number, rel=1e-12)


@given(st.decimals(-(10**9) + 1, 10**9 - 1, places=3).map(float))
def test_usual_units_are_converted_as_by_pint_to_the_last_digit(number):
    for kind, factors in USUAL.items():
        for unit, factor in factors.items():
            by_pint = registry().Quantity(number, unit).to(KINDS[kind].unit).magnitude
            assert number * factor == by_pint, unit


# By general-purpose GNU units: the same conversions, asked in its own words.
GNU = [
    ("length", "7.5 in", "7.5 inch", "m"),
    ("length", "11 ft", "11 feet", "m"),
    ("current", "1.5 kA", "1.5 kA", "A"),
    ("time", "45 min", "45 minutes", "hours"),
    ("area", "2.5 cm²", "2.5 cm^2", "mm^2"),
    ("resistance", "7 mΩ", "7 milliohm", "ohm"),
]


@pytest.mark.parametrize(("kind", "text", "theirs", "unit"), GNU)
def test_gnu_units_agrees(kind, text, theirs, unit):
    program = shutil.which("units")
    if program is None:
        if os.environ.get("CI") == "true":
            pytest.fail("GNU units is not installed, and CI must compare with it")
        pytest.skip("GNU units is not installed")
    words = [program, "-t", "--digits", "12", theirs, unit]
    run = subprocess.run(words, capture_output=True, text=True, check=True)
    assert number_in(kind, text) == pytest.approx(float(run.stdout), rel=1e-9)


@pytest.mark.parametrize("kind", KINDS)
def test_the_example_of_each_kind_is_read_and_said_when_it_is_not(kind):
    assert math.isfinite(number_in(kind, KINDS[kind].example))
    with pytest.raises(ValueError, match=re.escape(KINDS[kind].example)):
        number_in(kind, "3 K*A")


@pytest.mark.parametrize(("kind", "other"), list(permutations(KINDS, 2)))
def test_no_kind_takes_another_for_its_own(kind, other):
    alike = [{"length", "distance"}, {"area", "opening"}]
    if {kind, other} in alike:
        assert number_in(kind, KINDS[other].example) > 0
    else:
        with pytest.raises(ValueError, match="write it like"):
            number_in(kind, KINDS[other].example)


@pytest.mark.parametrize(
    "text",
    [
        *("", " ", "m", "4", "4.2.1 m", "4 m m", "1e3 m", "٤ m", "inf m", "nan m"),
        *("4 m" * 50, "1" * 30 + " m", "4 m*m*m*m*m", "4 mmmmmmmmmmmmmmm"),
        *("4 parsec", "4 m^99999999999999", "4 m**m", "4 kkm", "4 m;", "4 °F", "4 __m", "4 m/0", "4 (m)"),
        *("4 m^9^9^9", "4 m**9**9", "4 m*", "4 m//s", "4 m·", "4 ²", "4 m^-1"),
    ],
)
def test_unclear_quantities_are_refused(text):
    with pytest.raises(ValueError, match=r"write it like '4\.2 m'"):
        number_in("length", text)


LIKE_A_QUANTITY = st.from_regex(r"-?\d{1,12}(\.\d{1,12})? ?[a-zA-Z0-9°%²³*/^·]{1,12}", fullmatch=True)


@given(st.text(max_size=30) | LIKE_A_QUANTITY)
def test_any_text_is_a_finite_number_or_refused(text):
    for kind in ("length", "temperature", "coefficient"):
        try:
            number = number_in(kind, text)
        except ValueError:
            continue
        assert math.isfinite(number)


GAUGES = [("2 AWG", "2"), ("2/0 AWG", "2/0"), (" 14AWG ", "14")]
NO_GAUGES = [("35 mm²", None), ("5/0 AWG", None), ("AWG", None), ("2 AWG 3", None)]


@pytest.mark.parametrize(("text", "size"), [*GAUGES, *NO_GAUGES])
def test_wire_gauges_become_areas(text, size):
    assert awg_size(text) == size
