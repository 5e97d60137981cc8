"""What a reading may be: each limit of the sheet, worked out by hand for small vans.

Resting voltages: BCI tables (from memory), on straight lines between their rows. Absorption voltages:
Linden and Reddy for flooded cells (from memory); AGM, gel and LiFePO4 are common practice, no source.
Replacing a battery below 80 % of its capacity: TM 5-684, par. 14-29. Conductors: IEC 60228:2004 class 5.
The rest are own choices, stated here again on purpose: whoever changes one of them has to change it in
two places.
"""

from datetime import date, timedelta

import pytest
import yaml

from tests.says.vans import SMALL, small
from vandoc.analysis.commissioning.measurement import Measurement, RecordedReading, judge
from vandoc.analysis.commissioning.trends import trends
from vandoc.doors.build import read

OHM_PER_M = {35: 0.554e-3, 2.5: 7.98e-3}  # IEC 60228:2004 class 5, 20 °C

# Of AGM and gel 12.18 V at 40 % (between 12.0 V at 25 % and 12.3 V at 50 %), full 12.8 V; of flooded cells
# 12.168 V and 12.65 V; of four LiFePO4 cells 4 × 3.268 V, the lowest of three published cells, and 13.6 V.
# Just after a charge, 0.1 V more for each 12 V.
LIMITS = {
    "bare-agm": {
        "insulation.board": (10_000, None),
        "earth.earth": (None, 1e-3),
        "rest-voltage.house-0": (12.18, 12.9),
        "voltage.board": (12.18, 12.9),
        # an alarm that draws 100 mA day and night; 10 % more, and 20 mA
        "drain.house-0": (None, 0.13),
        "capacity.house-0": (80, None),
    },
    "lithium-alone": {
        "rest-voltage.house-0": (13.072, 13.7),
        "voltage.board": (13.072, 13.7),
        # two chargers and an inverter at rest, 10 mA each; 10 % more, and 20 mA
        "drain.house-0": (None, 0.053),
        "charge-current.hook-up": (7, 11),
        "charge-current.solar": (None, 11),
        "charge-voltage.hook-up": (14.0, 14.6),
        "charge-voltage.solar": (14.0, 14.6),
    },
    "gel-with-relay": {
        "rest-voltage.house-0": (24.36, 25.8),
        "rest-voltage.starter": (24.336, 25.5),
        "charge-voltage.relay": (28.0, 28.8),
        "torque.earth": (None, None),
    },
    "flooded-48": {
        "rest-voltage.house-0": (48.672, 51.0),
        "charge-voltage.hook-up": (57.6, 59.2),
    },
}


@pytest.fixture(scope="module")
def measurements(tmp_path_factory):
    folder = tmp_path_factory.mktemp("limits")

    def of(stated):
        path = folder / "van.yml"
        path.write_text(yaml.safe_dump(stated, allow_unicode=True, sort_keys=False), "utf-8")
        van = read(path)
        return van, van.measurements

    return of


@pytest.mark.parametrize("name", LIMITS)
def test_limits_of_each_measurement_by_hand(name, measurements):
    _, sheet = measurements(small(**SMALL[name]))
    for ident, (low, high) in LIMITS[name].items():
        assert sheet[ident].low == (low and pytest.approx(low, rel=1e-9)), ident
        assert sheet[ident].high == (high and pytest.approx(high, rel=1e-6)), ident


def test_a_cable_may_lose_a_tenth_more_and_what_half_a_metre_of_it_loses(measurements):
    _, sheet = measurements(small(**SMALL["lithium-alone"]))
    cable = sheet["cable.plus to inverter-fuse.in"]
    cold = cable.amps_a * OHM_PER_M[35] * 0.5
    assert cold < cable.expected < 1.25 * cold  # the conductor is warm
    assert cable.high == pytest.approx(1.1 * cable.expected + cable.amps_a * OHM_PER_M[35] * 0.5, rel=1e-3)


def test_the_profile_narrows_the_charging_voltage_but_never_widens_it(measurements):
    stated = small(**SMALL["lithium-alone"])
    for absorption, limits in (("14.2 V", (14.1, 14.3)), ("14.6 V", (14.5, 14.6)), ("15.6 V", (14.0, 14.6))):
        stated["equipment"]["hook-up"]["profile"] = {"absorption": absorption}
        _, sheet = measurements(stated)
        found = sheet["charge-voltage.hook-up"]
        assert (found.low, found.high) == pytest.approx(limits)


def test_a_heavy_cable_is_measured_only_where_enough_flows(measurements):
    _, sheet = measurements(small(**SMALL["bare-agm"]))
    assert not [ident for ident in sheet if ident.startswith("cable.")]  # the lamp draws 0.4 A, less than 5 A
    _, sheet = measurements(small(**SMALL["lithium-alone"]))
    assert "cable.solar.out to plus" in sheet  # 8 A
    assert "torque.plus" not in sheet  # on a bar each lug has a nut of its own
    assert "torque.plus solar.out to plus" in sheet
    assert "torque.inverter.+" in sheet  # 35 mm² ends on studs
    assert not [ident for ident in sheet if ident.startswith("torque.panels")]  # 4 mm² does not


ONE = Measurement("voltage.board", "power-up", (), None, 12.0, 13.0, ())


@pytest.mark.parametrize(
    ("value", "verdict"), [(11.99, "low"), (12.0, "good"), (12.5, "good"), (13.0, "good"), (13.01, "high")]
)
def test_a_reading_at_its_limit_passes_and_beyond_it_does_not(value, verdict):
    assert judge(ONE, RecordedReading(value, None, date(2026, 1, 1), (), "")) == verdict


@pytest.mark.parametrize(
    ("years", "readings", "told"), [(2.9, 3, True), (3.1, 3, False), (2.9, 2, None), (-0.1, 3, False)]
)
def test_a_trend_is_told_three_years_ahead_from_three_readings(years, readings, told, measurements):
    van, _ = measurements(small(**SMALL["bare-agm"]))
    rising = Measurement("drain.house-0", "power-up", (), None, None, 1.0, ())
    step = timedelta(days=365)
    slope = 0.5 / (
        365 * (readings - 1) + years * 365.25
    )  # from 0.5 at first to the limit `years` after the last
    taken = [
        RecordedReading(0.5 + slope * 365 * number, None, date(2020, 1, 1) + number * step, (), "")
        for number in range(readings)
    ]
    found = list(trends(van.system, {rising.id: rising}, {rising.id: taken}))
    assert [one.crosses is not None for one in found] == ([] if told is None else [told])
