from math import inf, nan, pi

import pytest
from hypothesis import given
from hypothesis import strategies as st

from vandoc.ground.calc.conductor import (
    IEC_60228,
    STANDARD_AREAS_MM2,
    awg_area_mm2,
    iso_10133_drop_v,
    operating_temperature_c,
    resistance_per_metre,
)

# IEC 60228:2004 Table 3, class 5, plain copper, 20 °C: mm² and Ω/km. Exact.
IEC_60228_CLASS_5 = [
    (0.5, 39.0), (0.75, 26.0), (1, 19.5), (1.5, 13.3), (2.5, 7.98), (4, 4.95), (6, 3.30), (10, 1.91),
    (16, 1.21), (25, 0.780), (35, 0.554), (50, 0.386), (70, 0.272), (95, 0.206), (120, 0.161),
]  # fmt: skip

# Printed wire table to ASTM B258: AWG, diameter in mm, area in mm². The print has four figures: rel 6e-4.
# Its area of 3 AWG, 26.27, is a misprint for 26.67 (its own diameter gives 26.67) and stands corrected here.
PRINTED_AWG = [
    ("4/0", 11.68, 107.2), ("3/0", 10.4, 85.03), ("2/0", 9.266, 67.43), ("1/0", 8.252, 53.48),
    ("1", 7.348, 42.41), ("2", 6.543, 33.63), ("3", 5.827, 26.67), ("4", 5.189, 21.15), ("5", 4.62, 16.77),
    ("6", 4.115, 13.3), ("7", 3.665, 10.55), ("8", 3.264, 8.366), ("9", 2.906, 6.634), ("10", 2.588, 5.261),
    ("11", 2.305, 4.172), ("12", 2.053, 3.309), ("13", 1.828, 2.624), ("14", 1.628, 2.081),
    ("15", 1.45, 1.65), ("16", 1.291, 1.309), ("17", 1.15, 1.038), ("18", 1.024, 0.8231),
    ("19", 0.9116, 0.6527), ("20", 0.8118, 0.5176),
]  # fmt: skip

# National Bureau of Standards Handbook 100 (1966), solid annealed copper, 20 °C: AWG, Ω per 1000 ft.
NBS_100 = [("14", 2.525), ("10", 0.9989), ("6", 0.3951), ("2", 0.1563)]


@pytest.mark.parametrize(("area_mm2", "ohm_per_km"), IEC_60228_CLASS_5)
def test_resistance_is_that_of_iec_60228(area_mm2, ohm_per_km):
    assert resistance_per_metre(area_mm2) * 1000 == pytest.approx(ohm_per_km, rel=1e-12)


def test_standard_areas_are_those_of_iec_60228():
    assert tuple(area for area, _ in IEC_60228_CLASS_5) == STANDARD_AREAS_MM2
    assert list(IEC_60228) == list(STANDARD_AREAS_MM2)


@pytest.mark.parametrize(("size", "diameter_mm", "area_mm2"), PRINTED_AWG)
def test_awg_matches_a_printed_wire_table(size, diameter_mm, area_mm2):
    assert awg_area_mm2(size) == pytest.approx(area_mm2, rel=6e-4)
    assert (awg_area_mm2(size) * 4 / pi) ** 0.5 == pytest.approx(diameter_mm, rel=6e-4)


@pytest.mark.parametrize("size", ["1", "2", "4", "6", "8", "10", "12", "14", "16", "18", "20", "30", "40"])
def test_awg_matches_gnu_units(size, gnu_units):
    assert awg_area_mm2(size) == pytest.approx(gnu_units(f"circlearea(awg({size})/2)", "mm^2"), rel=1e-6)


@pytest.mark.parametrize("zeros", [1, 2, 3, 4])
def test_awg_of_several_zeros_matches_gnu_units(zeros, gnu_units):
    # The program counts 1/0 as 0, 2/0 as −1 and so on.
    expected = gnu_units(f"circlearea(awg({1 - zeros})/2)", "mm^2")
    assert awg_area_mm2(f"{zeros}/0") == pytest.approx(expected, rel=1e-6)


@pytest.mark.parametrize("size", ["", "0", "5/0", "0/0", "-1", "41", "10.5", "010", "ten", "10 ", "٤"])
def test_unknown_awg_is_refused(size):
    with pytest.raises(ValueError, match="AWG"):
        awg_area_mm2(size)


@pytest.mark.parametrize(("awg", "ohm_per_kft"), NBS_100)
def test_flexible_conductor_never_beats_solid_annealed_copper(awg, ohm_per_kft):
    # IEC 60228 lets a class 5 conductor have up to a fifth more than the solid one; never less.
    solid = ohm_per_kft / 304.8
    assert solid < resistance_per_metre(awg_area_mm2(awg)) < 1.2 * solid


def test_resistance_at_temperature_matches_the_printed_factor():
    # IEC 60228 annex: factor kt to 20 °C is 0.962 at 30 °C (three figures).
    assert resistance_per_metre(10) / resistance_per_metre(10, 30) == pytest.approx(0.962, abs=5e-4)
    assert resistance_per_metre(10, 274.5) == pytest.approx(2 * resistance_per_metre(10), rel=1e-12)


areas = st.floats(STANDARD_AREAS_MM2[0], STANDARD_AREAS_MM2[-1])


@given(areas, areas)
def test_a_larger_conductor_never_has_more_resistance(one, other):
    thin, thick = sorted((one, other))
    assert resistance_per_metre(thin) >= resistance_per_metre(thick)


@given(areas)
def test_between_rows_resistance_is_that_of_the_poorer_neighbour(area_mm2):
    poorest, best = 0.01995, 0.01904  # the largest and smallest R·S of the table, Ω·mm²/m
    assert best * (1 - 1e-9) <= resistance_per_metre(area_mm2) * area_mm2 <= poorest * (1 + 1e-9)


@pytest.mark.parametrize("area_mm2", [0, -1, 0.49, 120.1, nan, inf, -inf])
def test_area_outside_the_table_is_refused(area_mm2):
    with pytest.raises(ValueError, match="area_mm2"):
        resistance_per_metre(area_mm2)


@pytest.mark.parametrize("temperature_c", [nan, inf, -234.5, -300])
def test_impossible_temperature_is_refused(temperature_c):
    with pytest.raises(ValueError, match="temperature_c"):
        resistance_per_metre(10, temperature_c)


def test_operating_temperature_at_its_limits():
    assert operating_temperature_c(40, 90, 0, 50) == 40
    assert operating_temperature_c(40, 90, 50, 50) == 90
    assert operating_temperature_c(40, 90, 60, 50) > 90


@pytest.mark.parametrize(
    "numbers",
    [(90, 90, 1, 1), (nan, 90, 1, 1), (20, inf, 1, 1), (20, 90, -1, 1), (20, 90, 1, 0), (20, 90, 1, nan)],
)
def test_operating_temperature_refuses_impossible_numbers(numbers):
    with pytest.raises(ValueError, match=r"_c|_a"):
        operating_temperature_c(*numbers)


# ISO 10133 Annex C, E = 0.0164·I·L/S: A, m out and back, mm², V by hand. rel 1e-3.
ISO_10133 = [(10, 10, 2.5, 0.656), (5, 12, 1.5, 0.656), (30, 6, 10, 0.2952), (120, 3, 50, 0.1181)]


@pytest.mark.parametrize(("current_a", "length_m", "area_mm2", "drop"), ISO_10133)
def test_iso_10133_formula_by_hand(current_a, length_m, area_mm2, drop):
    assert iso_10133_drop_v(current_a, length_m, area_mm2) == pytest.approx(drop, rel=1e-3)


@given(areas)
def test_iso_10133_flatters_every_flexible_conductor(area_mm2):
    ratio = iso_10133_drop_v(1, 1, area_mm2) / resistance_per_metre(area_mm2)
    assert 0.82 < ratio < 0.87
