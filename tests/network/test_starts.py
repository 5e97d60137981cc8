"""Devices that are starting: what is stated counts, the rest is usual, and the battery is at its weakest."""

from pathlib import Path

import pytest

from vandoc.analysis import Van
from vandoc.ground.calc.starting import usual_start
from vandoc.physics.network.states import OperatingState
from vandoc.reading.loader import load

DRIVEN = Path(__file__).parents[1] / "vans/pairs/vans/driven.yml"


@pytest.fixture(scope="module")
def driven():
    return Van.of(load(DRIVEN))


def start_of(van, owner):
    (found,) = [(start, solved) for start, solved in van.starts if start.owner == owner]
    return found


def test_a_stated_start_is_taken_as_it_is(driven):
    start, solved = start_of(driven, "heater")
    assert (start.amps_a, start.stated, start.time_stated) == (10.0, True, True)
    assert start.time_s == pytest.approx(90.0)
    assert solved.device_amps["heater"] == pytest.approx(10.0)


def test_what_is_not_stated_is_usual_for_its_kind(driven):
    """5 A, and the largest usual multiple of a pump."""
    start, _ = start_of(driven, "pump")
    usual = usual_start("pump")
    assert start.amps_a == pytest.approx(5.0 * usual.highest)
    assert (start.time_s, start.stated) == (usual.time_s, False)
    assert usual.from_memory


def test_a_surge_is_a_power_behind_the_efficiency(van):
    """1600 W at 80 % are 2000 W; at 12 V that would be 167 A."""
    inverter = "inverter, place: box, power: 800 W, surge: 1600 W, efficiency: 80 %"
    made = van(
        (
            "  minus: {kind: busbar",
            f"  inverter: {{kind: inverter, name: {inverter}}}\n  minus: {{kind: busbar",
        ),
        (
            "  - {id: back,",
            "  - {id: i-plus, from: main.out, to: inverter.+, length: 0.5 m, area: 50 mm²}\n"
            "  - {id: i-minus, from: inverter.-, to: minus, length: 0.5 m, area: 50 mm²}\n  - {id: back,",
        ),
    )
    start, solved = start_of(made, "inverter")
    assert (start.behaves, start.amount) == ("power", pytest.approx(2000.0))
    across = solved.across_v("inverter.+", "inverter.-")
    assert across * solved.device_amps["inverter"] == pytest.approx(2000.0, rel=1e-6)
    assert start.time_s == usual_start("surge").time_s


def test_several_devices_start_together(van):
    made = van(("power: 24 W}", "power: 24 W, count: 3, start: 4 A}"))
    start, solved = start_of(made, "lamp")
    assert start.amps_a == pytest.approx(12.0)
    assert solved.device_amps["lamp"] == pytest.approx(12.0)


def test_the_drop_is_that_of_ohms_law(van):
    """10 A through 2 × 4 m of 1.5 mm²: 13.3 mΩ/m at 20 °C (IEC 60228, class 5), up to 1.3 times that warm."""
    made = van(("power: 24 W}", "power: 24 W, start: 10 A}"))
    _, solved = start_of(made, "lamp")
    lost = sum(abs(solved.amps[ident]) * solved.ohms[ident] for ident in ("lamp supply", "lamp return"))
    assert 10 * 8 * 0.0133 * 0.99 <= lost <= 10 * 8 * 0.0133 * 1.3


def test_the_battery_is_weaker_than_at_night(driven):
    _, solved = start_of(driven, "fridge")
    night = driven.solved[OperatingState.NIGHT]
    assert solved.across_v("house.+", "house.-") < night.across_v("house.+", "house.-")


def test_an_unknown_kind_is_refused():
    with pytest.raises(ValueError, match="kind must be one of compressor"):
        usual_start("rocket")
