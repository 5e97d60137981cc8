from math import inf, nan

import pytest

from vandoc.ground.calc.solar import array_isc_a, array_power_range, design_current_a, string_voc_v, voc_at

# NEC 2020 690.7(A) informational note and Table 690.7(A), from memory: the table's factor for crystalline
# silicon from 25 °C down to the coldest day, rounded up over steps of 5 K: °C, factor. A usual silicon
# module, −0.30 to −0.35 %/K, stays under it. The table is for modules without a coefficient, hence the upper
# bound only.
TABLE_690_7 = [
    (20, 1.02),
    (15, 1.04),
    (10, 1.06),
    (5, 1.08),
    (0, 1.10),
    (-5, 1.12),
    (-10, 1.14),
    (-20, 1.18),
    (-30, 1.21),
]


@pytest.mark.parametrize(("temperature_c", "factor"), TABLE_690_7)
def test_cold_voltage_stays_under_the_table_for_any_silicon_module(temperature_c, factor):
    assert 1 < voc_at(1, -0.30, temperature_c) <= factor


def test_voltage_by_hand():
    # 22.5 V at 25 °C, −0.31 %/K, −20 °C: 22.5 · (1 + 0.0031 · 45) = 25.63875.
    assert voc_at(22.5, -0.31, -20) == pytest.approx(25.63875, rel=1e-12)
    assert string_voc_v(3, 22.5, -0.31, -20) == pytest.approx(76.91625, rel=1e-12)
    assert array_isc_a(3, 6.2) == pytest.approx(18.6)
    assert design_current_a(array_isc_a(3, 6.2)) == pytest.approx(23.25)


def test_voltage_at_its_limits():
    assert voc_at(22.5, -0.31, 25) == 22.5
    assert voc_at(22.5, 0, -40) == 22.5
    assert voc_at(22.5, -5, 200) == 0
    assert string_voc_v(1, 22.5, -0.31, 70) < 22.5


@pytest.mark.parametrize(
    "numbers",
    [
        (0, -0.3, 0),
        (-1, -0.3, 0),
        (nan, -0.3, 0),
        (20, 0.3, 0),
        (20, nan, 0),
        (20, -inf, 0),
        (20, -0.3, -274),
        (20, -0.3, nan),
    ],
)
def test_impossible_numbers_are_refused(numbers):
    with pytest.raises(ValueError, match="must"):
        voc_at(*numbers)
    with pytest.raises(ValueError, match="must"):
        string_voc_v(1, *numbers)


@pytest.mark.parametrize("bad", [0, -1, 1.5, nan, inf])
def test_impossible_counts_are_refused(bad):
    with pytest.raises(ValueError, match="series"):
        string_voc_v(bad, 20, -0.3, 0)
    with pytest.raises(ValueError, match="parallel"):
        array_isc_a(bad, 6)


def test_impossible_currents_are_refused():
    for bad in (-1, nan, inf):
        with pytest.raises(ValueError, match="isc_a"):
            array_isc_a(1, bad)
        with pytest.raises(ValueError, match="isc_a"):
            design_current_a(bad)


def test_array_power_has_its_usual_range():
    found = array_power_range()
    assert (found.low_w, found.high_w, found.from_memory) == (50, 300, True)  # common practice, no source
