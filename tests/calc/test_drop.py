from math import inf, nan

import pytest

from vandoc.ground.calc.basis import BASES
from vandoc.ground.calc.drop import KINDS, drop_limit, drop_v

# One conductor of class 5 at 20 °C by hand from IEC 60228 Table 3: A, m, mm², V. rel 1e-3.
BY_HAND = [(10, 10, 2.5, 0.7980), (5, 12, 1.5, 0.7980), (30, 6, 10, 0.3438), (120, 3, 50, 0.1390)]

# A printed vehicle cable table, drop = 5 m · R · I on thin-wall cable: A, mm², V. Its cables resist a little
# less than class 5 allows, and what it prints must never exceed ours, nor fall more than a tenth below.
PRINTED = [(8.75, 1.0, 0.827), (12.75, 1.5, 0.797), (21.75, 2.5, 0.816)]


@pytest.mark.parametrize(("current_a", "length_m", "area_mm2", "volts"), BY_HAND)
def test_drop_by_hand(current_a, length_m, area_mm2, volts):
    assert drop_v(current_a, length_m, area_mm2, 20) == pytest.approx(volts, rel=1e-3)


@pytest.mark.parametrize(("current_a", "area_mm2", "volts"), PRINTED)
def test_drop_against_a_printed_vehicle_cable_table(current_a, area_mm2, volts):
    assert 0.9 * drop_v(current_a, 5, area_mm2, 20) < volts < drop_v(current_a, 5, area_mm2, 20)


def test_drop_at_its_limits():
    assert drop_v(0, 10, 2.5, 20) == drop_v(10, 0, 2.5, 20) == 0
    assert drop_v(10, 10, 2.5, 70) == pytest.approx(0.798 * 304.5 / 254.5, rel=1e-9)
    for numbers in (
        (-1, 1, 1, 20),
        (nan, 1, 1, 20),
        (1, -1, 1, 20),
        (1, inf, 1, 20),
        (1, 1, 0, 20),
        (1, 1, 1, nan),
    ):
        with pytest.raises(ValueError, match="must"):
            drop_v(*numbers)


# What was read: ABYC E-11 (as quoted) 3 % and 10 %; ISO 10133:2012 3 % for panel feeders and vital equipment;
# IEC 60364-5-52:2009 Table G.52.1, private supply 6 % and 8 %. Exact.
READ = [
    ("critical", "ABYC E-11", 3), ("main", "ABYC E-11", 3), ("lighting", "ABYC E-11", 10),
    ("general", "ABYC E-11", 10), ("critical", "ISO 13297", 3), ("main", "ISO 13297", 3),
    ("lighting", "IEC 60364-5-52", 6), ("general", "IEC 60364-5-52", 8), ("charging", "IEC 60364-5-52", 8),
]  # fmt: skip


@pytest.mark.parametrize(("kind", "basis", "percent"), READ)
def test_limits_match_the_printed_standards(kind, basis, percent):
    found = drop_limit(kind, basis)
    assert (found.percent, found.basis, found.from_memory) == (percent, basis, False)


def test_kinds_are_those_of_van_files():
    assert set(KINDS) == {"critical", "main", "lighting", "general", "charging"}


@pytest.mark.parametrize("kind", KINDS)
def test_stricter_decides_unless_a_basis_is_named(kind):
    strictest = drop_limit(kind, None)
    assert strictest.percent <= min(drop_limit(kind, basis).percent for basis in BASES)
    assert strictest.source


def test_basis_without_a_figure_takes_the_strictest_other_and_names_it():
    assert drop_limit("critical", "33 CFR 183.425") == drop_limit("critical", None)
    found = drop_limit("charging", "ISO 13297")
    assert (found.percent, found.basis, found.from_memory) == (3, "common practice", True)


def test_a_result_says_that_its_figure_is_from_memory():
    assert drop_limit("general", "ISO 13297").from_memory
    assert not drop_limit("critical", None).from_memory, "of equal figures the one read in print is shown"


def test_unknown_names_are_refused():
    with pytest.raises(ValueError, match="kind must be one of"):
        drop_limit("vital", None)
    with pytest.raises(ValueError, match="basis must be one of"):
        drop_limit("main", "common practice")
