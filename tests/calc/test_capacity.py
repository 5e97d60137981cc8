from math import inf, nan

import pytest
from hypothesis import given
from hypothesis import strategies as st

from vandoc.ground.calc.capacity import (
    BASES,
    ambient_factor,
    capacity,
    grouping_factor,
    table_capacity,
)
from vandoc.ground.calc.conductor import awg_area_mm2

# 33 CFR 183.425, Table 5 (public text): A by insulation temperature, single copper conductors, 30 °C. Exact.
COLUMNS = (60, 75, 80, 90, 105, 125, 200)
TABLE_5 = {
    "18": (10, 10, 15, 20, 20, 25, 25),
    "16": (15, 15, 20, 25, 25, 30, 35),
    "14": (20, 20, 25, 30, 35, 40, 45),
    "12": (25, 25, 35, 40, 45, 50, 55),
    "10": (40, 40, 50, 55, 60, 70, 70),
    "8": (55, 65, 70, 70, 80, 90, 100),
    "6": (80, 95, 100, 100, 120, 125, 135),
    "4": (105, 125, 130, 135, 160, 170, 180),
    "3": (120, 145, 150, 155, 180, 195, 210),
    "2": (140, 170, 175, 180, 210, 225, 240),
    "1": (165, 195, 210, 210, 245, 265, 280),
    "1/0": (195, 230, 245, 245, 285, 305, 325),
    "2/0": (225, 265, 285, 285, 330, 355, 370),
    "3/0": (260, 310, 330, 330, 385, 410, 430),
    "4/0": (300, 360, 385, 385, 445, 475, 510),
}

# IEC 60364-5-52:2009 Table B.52.14: insulation °C, ambient °C, factor printed to 0.01. abs 0.005.
# 90 °C column also NFPA 70 Table 310.15(B)(1); 70 °C from 30 °C on also BS 7671 Table 4B1. The 70 °C figures
# below 30 °C are from memory and not tested.
B_52_14 = [
    (90, 10, 1.15), (90, 15, 1.12), (90, 20, 1.08), (90, 25, 1.04), (70, 30, 1.00), (90, 30, 1.00),
    (70, 35, 0.94), (90, 35, 0.96), (70, 40, 0.87), (90, 40, 0.91), (70, 45, 0.79), (90, 45, 0.87),
    (70, 50, 0.71), (90, 50, 0.82), (70, 55, 0.61), (90, 55, 0.76), (70, 60, 0.50), (90, 60, 0.71),
    (70, 65, 0.35), (90, 65, 0.65), (90, 70, 0.58), (90, 75, 0.50), (90, 80, 0.41),
]  # fmt: skip

# IEC 60364-5-52:2009 Table B.52.17, bunched = BS 7671:2008 Table 4C1 (read there): circuits, factor. Exact.
B_52_17 = [
    (1, 1.00), (2, 0.80), (3, 0.70), (4, 0.65), (5, 0.60), (6, 0.57), (7, 0.54), (8, 0.52), (9, 0.50),
    (12, 0.45), (16, 0.41), (20, 0.38),
]  # fmt: skip

CFR, ISO, IEC = BASES


@pytest.mark.parametrize("awg", TABLE_5)
def test_capacities_are_those_of_33_cfr_table_5(awg):
    found = tuple(table_capacity(awg_area_mm2(awg), column, CFR).amps_a for column in COLUMNS)
    assert found == TABLE_5[awg]
    assert not table_capacity(awg_area_mm2(awg), 105, CFR).from_memory


@pytest.mark.parametrize(
    ("area_mm2", "row"),
    [(1, "18"), (1.5, "16"), (2.5, "14"), (4, "12"), (6, "10"), (10, "8"), (16, "6"), (35, "2"), (50, "1")],
)
def test_mm2_between_awg_rows_takes_the_smaller_row(area_mm2, row):
    assert table_capacity(area_mm2, 105, CFR).amps_a == TABLE_5[row][4]


@pytest.mark.parametrize(
    ("rounded_mm2", "row"), [(2.08, "14"), (3.31, "12"), (5.26, "10"), (13.3, "6"), (107.2, "4/0")]
)
def test_an_awg_area_written_rounded_is_its_own_row(rounded_mm2, row):
    assert table_capacity(rounded_mm2, 60, CFR).amps_a == TABLE_5[row][0]


@pytest.mark.parametrize(
    ("insulation_c", "column"), [(70, 60), (85, 80), (89.9, 80), (104, 90), (110, 105), (250, 200)]
)
def test_insulation_between_columns_takes_the_lower_column(insulation_c, column):
    found = table_capacity(awg_area_mm2("6"), insulation_c, CFR)
    assert found.amps_a == TABLE_5["6"][COLUMNS.index(column)]
    assert found.working.insulation_c == column


@pytest.mark.parametrize("basis", [ISO, IEC])
def test_figures_from_memory_say_so(basis):
    found = capacity(16, 90, 40, 3, basis)
    assert found.from_memory
    assert found.basis == basis
    assert basis in found.source


@pytest.mark.parametrize("basis", BASES)
@pytest.mark.parametrize(
    ("area_mm2", "insulation_c"),
    [(0.5, 90), (200, 90), (16, 50), (0, 90), (-1, 90), (nan, 90), (16, nan), (inf, 90), (16, inf)],
)
def test_conductor_outside_a_table_is_refused(area_mm2, insulation_c, basis):
    with pytest.raises(ValueError, match=r"mm|insulation"):
        table_capacity(area_mm2, insulation_c, basis)


def test_unknown_basis_is_refused():
    for call in (table_capacity, lambda *a: grouping_factor(1, a[2])):
        with pytest.raises(ValueError, match="basis must be one of"):
            call(16, 90, "EN 0")


def test_insulation_without_column_in_the_basis_is_refused():
    with pytest.raises(ValueError, match="begins at 70"):
        table_capacity(16, 60, IEC)


@pytest.mark.parametrize("basis", BASES)
def test_capacity_rises_with_area_and_with_insulation(basis):
    areas, temperatures = (1.5, 2.5, 4, 6, 10, 16, 25, 35, 50, 70, 95), (70, 90, 105)
    grid = [[table_capacity(area, t, basis).amps_a for t in temperatures] for area in areas]
    assert all(row == sorted(row) for row in grid)
    assert all(list(column) == sorted(set(column)) for column in zip(*grid, strict=True))


def test_bases_agree_within_a_third():
    # Different conditions, same copper: a slip of a row or a decimal in the tables from memory would show.
    for area in (2.5, 6, 16, 35, 70, 95):
        cfr, iso, iec = (table_capacity(area, 90, basis).amps_a for basis in BASES)
        assert 0.67 < iso / cfr < 1.5
        assert 0.67 < iec / cfr < 1.5


@pytest.mark.parametrize(("insulation_c", "ambient_c", "printed"), B_52_14)
def test_ambient_factor_matches_table_b_52_14(insulation_c, ambient_c, printed):
    assert ambient_factor(insulation_c, ambient_c) == pytest.approx(printed, abs=0.005)


def test_ambient_factor_at_its_limits():
    assert ambient_factor(90, 90) == ambient_factor(90, 120) == 0
    assert ambient_factor(90, -20) == ambient_factor(90, 10), "the table begins at 10 °C"
    for bad in ((30, 20), (nan, 20), (90, nan), (inf, 20), (90, inf)):
        with pytest.raises(ValueError, match="_c must be"):
            ambient_factor(*bad)


@pytest.mark.parametrize(("circuits", "factor"), B_52_17)
def test_grouping_factor_is_that_of_table_b_52_17(circuits, factor):
    assert grouping_factor(circuits) == factor


def test_grouping_between_rows_uses_the_larger_group():
    assert [grouping_factor(n) for n in (10, 11, 13, 17, 19)] == [0.45, 0.45, 0.41, 0.38, 0.38]


@pytest.mark.parametrize("circuits", [0, -1, 21, 1.5, nan, inf])
@pytest.mark.parametrize("basis", BASES)
def test_grouping_outside_the_table_is_refused(circuits, basis):
    with pytest.raises(ValueError, match="circuits"):
        grouping_factor(circuits, basis)


@given(st.integers(1, 20))
def test_iso_13297_grouping_is_never_milder(circuits):
    assert grouping_factor(circuits, ISO) <= grouping_factor(circuits) == grouping_factor(circuits, CFR)


# 33 CFR 183.425 Table 5 note 1: insulation and factor in engine spaces, taken as 50 °C. Only the figure for
# 105 °C was read, the others are from memory.
ENGINE_SPACE = [(60, 0.58), (75, 0.75), (80, 0.78), (90, 0.82), (105, 0.85), (125, 0.89)]


@pytest.mark.parametrize(("insulation_c", "factor"), ENGINE_SPACE)
def test_the_ambient_factor_at_50_degrees_is_that_of_the_engine_bay(insulation_c, factor):
    assert ambient_factor(insulation_c, 50) == pytest.approx(factor, abs=0.007)


def test_capacity_shows_what_it_is_made_of():
    found = capacity(10, 105, 60, 4, CFR)
    working = found.working
    assert working.area_mm2 == awg_area_mm2("8")
    assert (working.base_a, working.grouping_factor) == (80, 0.65)
    assert working.ambient_factor == pytest.approx(((105 - 60) / (105 - 30)) ** 0.5, rel=1e-12)
    assert found.amps_a == working.base_a * working.ambient_factor * working.grouping_factor


def test_cold_never_raises_and_heat_ends_the_capacity():
    assert capacity(10, 90, -10, 1, CFR) == capacity(10, 90, 30, 1, CFR) == table_capacity(10, 90, CFR)
    assert capacity(10, 90, 95, 1, CFR).amps_a == 0


@given(
    st.floats(1.5, 95), st.floats(70, 200), st.floats(-30, 120), st.integers(1, 19), st.sampled_from(BASES)
)
def test_hotter_or_fuller_never_carries_more(area_mm2, insulation_c, ambient_c, circuits, basis):
    here = capacity(area_mm2, insulation_c, ambient_c, circuits, basis).amps_a
    assert capacity(area_mm2, insulation_c, ambient_c + 5, circuits, basis).amps_a <= here
    assert capacity(area_mm2, insulation_c, ambient_c, circuits + 1, basis).amps_a <= here
    assert here <= table_capacity(area_mm2, insulation_c, basis).amps_a
