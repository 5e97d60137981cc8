"""Pulls on crimps against the printed table, and between its rows by hand."""

import pytest

from vandoc.ground.calc.conductor import awg_area_mm2
from vandoc.ground.calc.crimp import least_pull

# UL 486A:2003 section 12, as two manufacturers of terminals print it in pounds: AWG, lbf; 1 lbf = 4.448 N.
PRINTED = [("20", 13), ("18", 20), ("16", 30), ("14", 50), ("12", 70), ("10", 80), ("8", 90), ("6", 100)]
PRINTED += [("4", 140), ("2", 180), ("1/0", 250), ("2/0", 300)]


@pytest.mark.parametrize(("awg", "pounds"), PRINTED)
def test_pulls_are_those_of_the_table(awg, pounds):
    assert least_pull(awg_area_mm2(awg)).newtons == pytest.approx(pounds * 4.448, rel=2e-3)  # rounded


# IEC 60352-2, from memory: 150 N for 1.5 mm², 230 N for 2.5 mm², 310 N for 4 mm², 360 N for 6 mm². The table
# above lies near them, so that metric sizes are asked for about the same.
@pytest.mark.parametrize(("area", "newtons"), [(1.5, 150), (2.5, 230), (4, 310), (6, 360)])
def test_metric_sizes_between_its_rows_are_near_another_standard(area, newtons):
    assert least_pull(area).newtons == pytest.approx(newtons, rel=0.15)


def test_a_larger_cable_is_never_asked_for_less():
    found = [
        least_pull(area).newtons for area in (0.3, 0.5, 1, 1.5, 2.5, 4, 6, 10, 16, 25, 35, 50, 70, 95, 120)
    ]
    assert found == sorted(found)
    assert found[0] == pytest.approx(57.9)
    assert found[-1] == pytest.approx(1335)


def test_an_area_must_be_positive():
    with pytest.raises(ValueError, match="area_mm2"):
        least_pull(0.0)
