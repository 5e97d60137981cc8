from itertools import pairwise
from math import inf, nan

import pytest

from vandoc.ground.calc.battery import (
    CHEMISTRIES,
    chemistry_figures,
    full_voltage_v,
    internal_resistance_ohm,
    rest_voltage,
)

# Rest voltage of flooded 12 V batteries by state of charge, printed charts that differ among themselves:
# lower and upper edge of a vehicle battery page, and an instrument manual at 25 °C. abs 0.10 V.
PRINTED_REST = {
    "lower edge": {100: 12.6, 75: 12.4, 50: 12.2, 25: 12.0, 0: 11.8},
    "upper edge": {100: 12.68, 75: 12.45, 50: 12.24, 25: 12.06},
    "manual, 25 °C": {100: 12.70, 50: 12.20},
}


def test_names_are_those_of_van_files():
    assert list(CHEMISTRIES) == ["flooded", "AGM", "gel", "LiFePO4"]


@pytest.mark.parametrize("chart", PRINTED_REST)
def test_rest_voltage_of_flooded_batteries(chart):
    ours = {row.soc_percent: row.volts_v for row in rest_voltage("flooded")}
    for soc, volts in PRINTED_REST[chart].items():
        assert ours[soc] == pytest.approx(volts, abs=0.10)


@pytest.mark.parametrize("chemistry", CHEMISTRIES)
def test_rest_voltage_falls_with_the_charge_and_says_it_is_recalled(chemistry):
    rows = rest_voltage(chemistry)
    assert rows[0].soc_percent == 100
    assert rows[-1].soc_percent == 0
    for fuller, emptier in pairwise(rows):
        assert fuller.soc_percent > emptier.soc_percent
        assert fuller.volts_v > emptier.volts_v
    assert all(row.from_memory and row.source for row in rows)


@pytest.mark.parametrize("chemistry", CHEMISTRIES)
def test_figures_hang_together(chemistry):
    figures = chemistry_figures(chemistry)
    full = full_voltage_v(chemistry, 12)
    assert figures.float_v.high < figures.absorption_v.high
    assert figures.float_v.low <= figures.float_v.high
    assert full <= figures.float_v.high, "a charger must be able to fill it"
    assert figures.charge_current_c.high <= figures.largest_charge_current_c.low
    assert 0 < figures.depth_of_discharge_percent.low <= figures.depth_of_discharge_percent.high < 100
    assert 3.0 < 12.8 / figures.cells < 3.4 or 2.0 < 12.8 / figures.cells < 2.2


def test_figures_that_were_read():
    # Cells of 3.50 to 3.65 V when charged; no charging of lithium below 0 °C (several published guides).
    lithium = CHEMISTRIES["LiFePO4"]
    assert lithium.absorption_v.low / lithium.cells == pytest.approx(3.5)
    assert lithium.absorption_v.high / lithium.cells == pytest.approx(3.65)
    assert (lithium.lowest_charging_c.low, lithium.lowest_charging_c.from_memory) == (0, False)
    # Lead accumulator table: float of 2.25 V per cell AGM and 2.23 V gel at 20 °C; −3 to −5 mV per cell and
    # K.
    assert CHEMISTRIES["AGM"].float_v.low == 13.5
    assert CHEMISTRIES["gel"].float_v.low == 13.4
    for lead in ("flooded", "AGM", "gel"):
        compensation = CHEMISTRIES[lead].compensation_mv_per_cell_k
        assert compensation.low <= -3.67 <= compensation.high
    # Usual settings: 14.4 V absorption for lead, 14.7 V for AGM (common practice, no source).
    assert CHEMISTRIES["flooded"].absorption_v.low == 14.4
    assert CHEMISTRIES["AGM"].absorption_v.high == 14.7


@pytest.mark.parametrize("chemistry", CHEMISTRIES)
def test_internal_resistance_scales_with_cells_in_parallel_and_in_series(chemistry):
    one = internal_resistance_ohm(chemistry, 100, 12)
    assert 0.002 < one < 0.01
    assert internal_resistance_ohm(chemistry, 200, 12) == pytest.approx(one / 2)
    assert internal_resistance_ohm(chemistry, 100, 24) == pytest.approx(one * 2)
    assert full_voltage_v(chemistry, 48) == pytest.approx(4 * full_voltage_v(chemistry, 12))


@pytest.mark.parametrize("bad", [nan, inf, -1])
def test_impossible_numbers_are_refused(bad):
    for call in (
        lambda: internal_resistance_ohm("AGM", bad, 12),
        lambda: internal_resistance_ohm("AGM", 100, bad),
        lambda: full_voltage_v("AGM", bad),
    ):
        with pytest.raises(ValueError, match="must"):
            call()


def test_unknown_chemistry_is_refused():
    for call in (chemistry_figures, rest_voltage, lambda c: full_voltage_v(c, 12)):
        with pytest.raises(ValueError, match="flooded, AGM, gel, LiFePO4"):
            call("lead")
