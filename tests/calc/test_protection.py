from math import inf, nan

import pytest

from vandoc.ground.calc.protection import (
    adiabatic_k,
    adiabatic_k_between,
    adiabatic_time_s,
    conductor_limit_factor,
    permitted_distance_m,
)

# IEC 60364-5-54:2011 Table A.54.4 (read in re-adoptions): insulation, start °C, end °C, k. The table rounds
# the formula to whole numbers, for silicone by 0.49: abs 0.5.
A_54_4 = [
    ("PVC 70", 70, 160, 115), ("PVC 90", 90, 160, 100), ("XLPE 90", 90, 250, 143),
    ("rubber 60", 60, 200, 141), ("rubber 85", 85, 220, 134), ("silicone 180", 180, 350, 132),
]  # fmt: skip
# Tables A.54.2 and A.54.6 and the rows of A.54.4 above 300 mm²: start °C, end °C, k. abs 0.5.
MORE_K = [
    (70, 140, 103), (90, 140, 86), (30, 160, 143), (30, 250, 176), (30, 220, 166), (30, 200, 159),
    (30, 150, 138), (30, 500, 228),
]  # fmt: skip

# S = sqrt(I²·t)/k worked by hand: A, s, k, mm². rel 1e-3. The first two also stand in a published web note.
ADIABATIC = [
    (12000, 0.2, 143, 37.5284), (12000, 0.02, 143, 11.8675), (1000, 0.1, 115, 2.7498),
    (2000, 0.05, 115, 3.8888), (5000, 0.01, 143, 3.4965), (300, 5, 115, 5.8332), (1500, 0.4, 100, 9.4868),
    (1000, 0.4761, 115, 6.0),
]  # fmt: skip


def test_distance_is_that_of_33_cfr_183_455():
    inch = 0.0254
    assert permitted_distance_m(False, "33 CFR 183.425").distance_m == pytest.approx(7 * inch, abs=5e-4)
    assert permitted_distance_m(True, "33 CFR 183.425").distance_m == pytest.approx(40 * inch, abs=5e-4)
    assert not permitted_distance_m(True, "33 CFR 183.425").from_memory


def test_stricter_distance_decides_unless_a_basis_is_named():
    assert permitted_distance_m(False, None).basis == "33 CFR 183.425"
    named = permitted_distance_m(False, "ISO 13297")
    assert (named.distance_m, named.basis, named.from_memory) == (0.2, "ISO 13297", True)


@pytest.mark.parametrize(
    ("sheathed", "basis"), [(True, "ISO 13297"), (False, "IEC 60364-5-52"), (True, "ABYC E-11")]
)
def test_basis_without_a_distance_takes_the_strictest_other_and_names_it(sheathed, basis):
    found = permitted_distance_m(sheathed, basis)
    assert found.basis == "33 CFR 183.425"
    assert found == permitted_distance_m(sheathed, None)


def test_a_fuse_may_never_exceed_the_capacity():
    for basis in (None, "33 CFR 183.425", "ISO 13297", "IEC 60364-5-52"):
        assert conductor_limit_factor(basis).factor == 1
    assert conductor_limit_factor("33 CFR 183.425").stated_factor == 1.5  # 33 CFR 183.455(c)(1)
    assert conductor_limit_factor(None).stated_factor == 1


@pytest.mark.parametrize("call", [lambda b: permitted_distance_m(False, b), conductor_limit_factor])
def test_unknown_basis_is_refused(call):
    with pytest.raises(ValueError, match="basis must be one of"):
        call("")


@pytest.mark.parametrize(("insulation", "initial_c", "final_c", "k"), A_54_4)
def test_k_is_that_of_table_a_54_4(insulation, initial_c, final_c, k):
    assert adiabatic_k(insulation) == k
    assert adiabatic_k_between(initial_c, final_c) == pytest.approx(k, abs=0.5)


@pytest.mark.parametrize(("initial_c", "final_c", "k"), MORE_K)
def test_formula_of_k_matches_further_tables(initial_c, final_c, k):
    assert adiabatic_k_between(initial_c, final_c) == pytest.approx(k, abs=0.5)


@pytest.mark.parametrize(("current_a", "time_s", "k", "area_mm2"), ADIABATIC)
def test_adiabatic_time_matches_worked_examples(current_a, time_s, k, area_mm2):
    assert adiabatic_time_s(area_mm2, k, current_a) == pytest.approx(time_s, rel=1e-3)


@pytest.mark.parametrize("bad", [0, -1, nan, inf])
def test_impossible_numbers_are_refused(bad):
    for numbers in ((bad, 115, 100), (6, bad, 100), (6, 115, bad)):
        with pytest.raises(ValueError, match="must be a positive number"):
            adiabatic_time_s(*numbers)


@pytest.mark.parametrize(
    ("initial_c", "final_c"), [(70, 70), (160, 70), (nan, 160), (70, nan), (-234.5, 70), (70, inf)]
)
def test_impossible_temperatures_are_refused(initial_c, final_c):
    with pytest.raises(ValueError, match="_c must be"):
        adiabatic_k_between(initial_c, final_c)


def test_unknown_insulation_is_refused():
    with pytest.raises(ValueError, match="PVC 70, PVC 90"):
        adiabatic_k("paper")
