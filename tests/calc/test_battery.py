from itertools import pairwise
from math import inf, nan

import pytest

from vandoc.ground.calc.battery import (
    absorption_v,
    cold_resistance,
    full_voltage_v,
    highest_charging_v,
    internal_resistance_ohm,
    rest_voltage,
    rest_voltage_at,
)
from vandoc.ground.chemistry import Chemistry, Names, PerCell, RestCurve, chemistry_of, known, with_chemistry
from vandoc.ground.chemistry import RestVoltage as Point

# Rest voltage of flooded 12 V batteries by state of charge, printed charts that differ among themselves:
# lower and upper edge of a vehicle battery page, and an instrument manual at 25 °C. abs 0.10 V.
PRINTED_REST = {
    "lower edge": {100: 12.6, 75: 12.4, 50: 12.2, 25: 12.0, 0: 11.8},
    "upper edge": {100: 12.68, 75: 12.45, 50: 12.24, 25: 12.06},
    "manual, 25 °C": {100: 12.70, 50: 12.20},
}


def test_chemistries_are_those_of_van_files():
    assert list(known()) == [
        "flooded",
        "EFB",
        "AGM",
        "gel",
        "lead-carbon",
        "LiFePO4",
        "NMC",
        "LTO",
        "sodium-ion",
    ]


@pytest.mark.parametrize("chart", PRINTED_REST)
def test_rest_voltages_of_flooded_batteries_match_published_charts(chart):
    ours = {row.soc_percent: row.volts_v for row in rest_voltage("flooded", 12)}
    for soc, volts in PRINTED_REST[chart].items():
        assert ours[soc] == pytest.approx(volts, abs=0.10)


@pytest.mark.parametrize("chemistry", known())
def test_rest_voltage_falls_with_the_charge_and_says_where_it_is_recalled(chemistry):
    rows = rest_voltage(chemistry, 12)
    assert rows[0].soc_percent == 100
    assert rows[-1].soc_percent == 0
    for fuller, emptier in pairwise(rows):
        assert fuller.soc_percent > emptier.soc_percent
        assert fuller.volts_v > emptier.volts_v
    assert all(row.source for row in rows)
    recalled = [row.soc_percent for row in rows if row.from_memory]
    read = {"LiFePO4": [100], "NMC": []}
    assert recalled == read.get(chemistry, [row.soc_percent for row in rows])


@pytest.mark.parametrize("chemistry", known())
def test_figures_of_a_chemistry_are_consistent(chemistry):
    figures = chemistry_of(chemistry)
    cells = figures.cells_for(12)[1]
    if chemistry != "lead-carbon":  # nobody publishes its charging voltages
        full = full_voltage_v(chemistry, 12)
        absorption, floating = figures.absorption_v.of(cells), figures.float_v.of(cells)
        assert floating.high < absorption.high
        assert full <= absorption.high, "a charger must be able to fill it"
        if figures.start_absorption_v is not None:
            assert full <= floating.high, "floating keeps it full"
            assert absorption.low <= figures.start_absorption_v.of(cells).low <= absorption.high
            assert floating.low <= figures.start_float_v.of(cells).low <= floating.high
        assert figures.cut_off_v.of(cells).high < rest_voltage(chemistry, 12, cells)[-2].volts_v
        assert figures.unknown == ()
    assert figures.lowest_charging_c.low < figures.highest_charging_c.low
    assert figures.lowest_discharging_c.low < figures.highest_discharging_c.low
    if figures.largest_charge_current_c is not None:  # of lithium the limit of the battery is asked for
        assert figures.charge_current_c.high <= figures.largest_charge_current_c.low
    assert 0 < figures.depth_of_discharge_percent.low <= figures.depth_of_discharge_percent.high < 100
    assert figures.cell_v * 0.9 < 12.8 / cells or chemistry in ("NMC", "LTO")


def test_figures_match_the_published_ones():
    # Cells of 3.50 to 3.65 V when charged; no charging of lithium below 0 °C (several published guides).
    lithium = chemistry_of("LiFePO4")
    assert lithium.absorption_v.of(1).low == pytest.approx(3.5)
    assert lithium.absorption_v.of(1).high == pytest.approx(3.65)
    assert (lithium.lowest_charging_c.low, lithium.lowest_charging_c.from_memory) == (0, False)
    # Lead accumulator table: float of 2.25 V per cell AGM and 2.23 V gel at 20 °C; −3 to −5 mV per cell and
    # K.
    assert chemistry_of("AGM").float_v.of(6).low == 13.5
    assert chemistry_of("gel").float_v.of(6).low == 13.4
    for lead in ("flooded", "AGM", "gel"):
        compensation = chemistry_of(lead).compensation_mv_per_cell_k
        assert compensation.low <= -3.67 <= compensation.high
    # Usual settings: 14.4 V absorption for lead, 14.7 V for AGM (common practice, no source).
    assert chemistry_of("flooded").absorption_v.of(6).low == 14.4
    assert chemistry_of("AGM").absorption_v.of(6).high == 14.7


@pytest.mark.parametrize("chemistry", known())
def test_internal_resistance_scales_with_cells_in_parallel_and_in_series(chemistry):
    one = internal_resistance_ohm(chemistry, 100, 12)
    assert 0.002 < one < 0.01
    assert internal_resistance_ohm(chemistry, 200, 12) == pytest.approx(one / 2)
    fewest, four = chemistry_of(chemistry).cells_for(12)[0], chemistry_of(chemistry).cells_for(48)[0]
    assert internal_resistance_ohm(chemistry, 100, 48) == pytest.approx(one * four / fewest)
    most = [chemistry_of(chemistry).cells_for(volts)[1] for volts in (12, 48)]
    assert full_voltage_v(chemistry, 48) == pytest.approx(most[1] / most[0] * full_voltage_v(chemistry, 12))


# University of Colorado test data of a 2.06 Ah LiFePO4 cell, at temperatures that the table does not use:
# percent, after discharging, after charging. [V per cell]
COLD_AND_WARM = {
    "5 °C": (
        (10, 3.167, 3.214),
        (20, 3.218, 3.276),
        (30, 3.248, 3.316),
        (50, 3.280, 3.328),
        (80, 3.321, 3.368),
        (90, 3.330, 3.376),
    ),
    "45 °C": (
        (20, 3.224, 3.263),
        (30, 3.253, 3.304),
        (50, 3.298, 3.325),
        (80, 3.336, 3.355),
        (90, 3.344, 3.359),
    ),
}


@pytest.mark.parametrize("curve", COLD_AND_WARM)
def test_rest_voltages_of_lithium_iron_phosphate_hold_at_other_temperatures(curve):
    ours = {row.soc_percent: row for row in rest_voltage("LiFePO4", 3.2)}
    for soc, discharged, charged in COLD_AND_WARM[curve]:
        assert ours[soc].lowest_v == pytest.approx(discharged, abs=0.03)
        assert ours[soc].highest_v == pytest.approx(charged, abs=0.03)
        assert ours[soc].lowest_v - 0.0125 < discharged < charged < ours[soc].highest_v + 0.0125


@pytest.mark.parametrize("label", [12, 12.8])
def test_a_label_is_judged_by_its_cells(label):
    lithium = chemistry_of("LiFePO4")
    assert lithium.cells_for(label) == (4, 4)
    assert lithium.scaled(lithium.absorption_v, label).high == pytest.approx(14.6)
    assert rest_voltage("LiFePO4", label)[-3].lowest_v == pytest.approx(12.888)


def test_forty_eight_volts_of_lithium_may_be_fifteen_or_sixteen_cells():
    """15 × 3.65 V = 54.75 V limits charging, and 16 × 3.65 V = 58.4 V decides for fuses."""
    lithium = chemistry_of("LiFePO4")
    figure = lithium.absorption_v
    assert (lithium.cells_for(48), lithium.cells_for(51.2), lithium.cells_for(25.6)) == (
        (15, 16),
        (16, 16),
        (8, 8),
    )
    assert lithium.scaled(figure, 48).high == pytest.approx(54.75)
    assert lithium.most(figure, 48).high == highest_charging_v("LiFePO4", 48) == pytest.approx(58.4)
    assert lithium.scaled(figure, 48, 16).high == lithium.most(figure, 51.2).high == pytest.approx(58.4)


def test_the_short_circuit_current_of_lithium_has_two_ends():
    """16 kA for each 100 Ah to break, 4.3 kA to open with; 1.8 times the resistance when cold."""
    strong = full_voltage_v("LiFePO4", 12.8) / internal_resistance_ohm("LiFePO4", 100, 12.8, end="low")
    weak = 12.8 / internal_resistance_ohm("LiFePO4", 100, 12.8, end="high")
    assert strong == pytest.approx(16_000)
    assert weak == pytest.approx(4_300, rel=0.01)
    assert cold_resistance("LiFePO4") == pytest.approx(17.4 / 9.75, rel=0.01)


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
    for call in (chemistry_of, lambda c: rest_voltage(c, 12), lambda c: full_voltage_v(c, 12)):
        with pytest.raises(
            ValueError, match="flooded, EFB, AGM, gel, lead-carbon, LiFePO4, NMC, LTO, sodium-ion"
        ):
            call("lead")


NOVEL = Chemistry("novel", Names("novel", "novel", "novel", "novel"))
# Cells of 3.7 V, three of them for 12 V and seven for 24 V on the label; figures worked by hand.
OF_CELLS = Chemistry(
    "cells",
    NOVEL.names,
    cell_v=3.7,
    cells={24.0: (7, 7)},
    absorption_v=PerCell(4.1, 4.2, "invented", True, 1),
    internal_resistance_mohm=PerCell(2, 2, "invented", True, 1),
    rest=RestCurve(2, (Point(100, 8.4, "invented", True), Point(0, 6.0, "invented", True))),
)


def test_figures_of_one_cell_make_those_of_a_battery():
    with with_chemistry(OF_CELLS):
        assert [OF_CELLS.cells_for(volts) for volts in (3.7, 12, 14.8, 24)] == [(n, n) for n in (1, 3, 4, 7)]
        assert full_voltage_v("cells", 12) == pytest.approx(12.6)
        assert rest_voltage_at("cells", 50, 24) == pytest.approx(25.2)
        assert absorption_v({"cells"}, 24) == pytest.approx(28.7)
        assert internal_resistance_ohm("cells", 200, 12) == pytest.approx(0.003)


@pytest.mark.parametrize("nominal", [12, 24])
def test_of_an_unknown_chemistry_the_least_favourable_figures_of_all_are_taken(nominal):
    with with_chemistry(NOVEL):
        assert rest_voltage("novel", nominal) == ()
        others = [key for key in known() if key != "novel"]
        assert full_voltage_v("novel", nominal) == max(full_voltage_v(key, nominal) for key in others)
        lowest = min(rest_voltage_at(key, 20, nominal) for key in others)
        assert rest_voltage_at("novel", 20, nominal) == lowest
        for end, worst in (("low", min), ("usual", min), ("high", max)):
            ohms = [internal_resistance_ohm(key, 100, nominal, end=end) for key in others]
            assert internal_resistance_ohm("novel", 100, nominal, end=end) == worst(ohms)
        assert absorption_v({"novel", "LiFePO4"}, nominal) == absorption_v(set(), nominal)
        charged = [key for key in others if chemistry_of(key).absorption_v is not None]
        assert absorption_v(set(), nominal) == min(absorption_v({key}, nominal) for key in charged)
