from math import inf

import pytest

from vandoc.ground.calc.conductor import IEC_60228
from vandoc.ground.calc.operating_point import NoOperatingPoint
from vandoc.physics.network.operating import SolvedState
from vandoc.physics.network.states import OperatingState, VanInState, states_of

NIGHT, EVERYTHING = OperatingState.NIGHT, OperatingState.EVERYTHING
MORE = "  minus: {kind: busbar"  # equipment is added before this line


def class_5_ohm(area_mm2: float, celsius: float, metres: float) -> float:
    """IEC 60228:2004, table 3 and annex on temperature, by hand."""
    return IEC_60228[area_mm2] / 1000 * metres * (234.5 + celsius) / 254.5


def test_voltages_and_currents_of_one_lamp_by_hand(van):
    solved = van(("\n  - id: router", "\n  - id: unused-router")).wiring.solve(NIGHT)
    lamp = solved.across_v("lamp.+", "lamp.-")
    assert solved.device_amps["lamp"] == pytest.approx(2.0)
    assert solved.device_amps["router"] == pytest.approx(
        36 / solved.across_v("router.+", "router.-"), rel=1e-6
    )
    # AGM half charged: 12.3 V behind 4 mΩ; copper at 40 °C and a little, fuses lose 0.1 V at their rating.
    both = solved.device_amps["house"]
    assert both == pytest.approx(2.0 + solved.device_amps["router"] + 0.0)
    shared = 0.004 + class_5_ohm(16.0, 40, 2.2) + 0.1 / 50
    own = class_5_ohm(1.5, 40, 8.0) + 0.1 / 5
    assert lamp == pytest.approx(12.3 - both * shared - 2.0 * own, abs=2e-3)


def test_losses_and_loads_add_up_to_what_the_battery_gives(demo_vans):
    for van in demo_vans.values():
        for state, solved in van.wiring.solve_all().items():
            assert isinstance(solved, SolvedState), state
            given = taken = 0.0
            for device in solved.devices:
                volts = solved.across_v(device.plus, device.minus)
                if volts is None:
                    continue
                watts = volts * solved.device_amps[device.name]
                if type(device).__name__ == "Load":
                    taken += watts
                    continue
                given += watts
                inlet = getattr(device, "inlet", None)
                if inlet is not None:
                    taken += solved.device_amps[inlet.name] * solved.across_v(inlet.plus, inlet.minus)
            lost = sum(solved.loss_w(edge.id) for edge in van.network.edges())
            assert given == pytest.approx(taken + lost, abs=1e-4)


def test_heat_of_a_charger_is_what_goes_in_and_does_not_come_out(demo_vans):
    van = demo_vans["curlew"]
    solved = van.wiring.solve(OperatingState.DRIVING)
    charger = next(d for d in solved.devices if d.name == "driving")
    into = solved.device_amps["driving inlet"] * solved.across_v(charger.inlet.plus, charger.inlet.minus)
    out = solved.device_amps["driving"] * solved.across_v(charger.plus, charger.minus)
    assert solved.heat_w["driving"] == pytest.approx(into - out, rel=1e-6)


def test_cables_are_as_warm_as_their_current_makes_them(van):
    small = van()
    solved = small.wiring.solve(EVERYTHING)
    for ident in solved.warmth:
        celsius = solved.temperature_c(ident)
        sized = small.sizing.conductors[ident]
        part = (solved.amps[ident] / sized.capacity_a) ** 2
        assert celsius == pytest.approx(40 + 30 * part)
        metres = sized.conductor.length_m
        assert solved.ohms[ident] == pytest.approx(class_5_ohm(sized.area_mm2, celsius, metres), rel=1e-4)


def test_an_overloaded_cable_shows_how_hot_it_would_get(van):
    hot = van(("power: 24 W", "power: 600 W"), ("rating: 5 A", "rating: 40 A")).wiring.solve(NIGHT)
    assert hot.temperature_c("lamp supply") > 100


def test_a_current_above_the_capacity_of_a_cable_is_named(van):
    found = van(
        ("power: 36 W, behaves: power", "power: 900 W, behaves: power"), ("length: 3 m", "length: 12 m")
    ).wiring.solve(NIGHT)
    assert isinstance(found, NoOperatingPoint)
    assert list(found.loads) == ["router"]
    assert 3 < found.loads["router"] < 7
    assert 0 < found.share < 1


def test_states_are_those_the_van_can_be_in(van, demo_vans):
    assert states_of(van().system) == (NIGHT, EVERYTHING)
    assert set(states_of(demo_vans["curlew"].system)) == set(OperatingState)
    assert OperatingState.HOOK_UP not in states_of(demo_vans["wren"].system)


def test_loads_and_sources_of_each_state(van):
    seldom = van(
        ("{name: lamp, ", "{name: lamp, hours: {summer: 2 h, winter: 0 h}, "),
        ("{name: router, ", "{name: router, continuous: false, "),
    )
    for state, running in {
        NIGHT: set(),
        OperatingState.SUN: {"lamp"},
        EVERYTHING: {"lamp", "router"},
    }.items():
        scene = VanInState(seldom.system, seldom.network, state)
        assert {ident for ident, load in seldom.system.loads.items() if scene.runs(ident)} == running


def test_the_relay_connects_the_batteries_only_while_driving(demo_vans):
    van = demo_vans["wren"]
    driving, night = van.wiring.solve(OperatingState.DRIVING), van.wiring.solve(NIGHT)
    assert driving.device_amps["house"] < -20, "the leisure battery is charged"
    assert night.amps["relay relay"] == 0
    assert night.device_amps["house"] > 0
    assert driving.device_amps["starter"] == pytest.approx(0, abs=1e-6), "a full battery takes nothing"


def test_units_change_nothing(van):
    metric = van(("length: 4 m, area: 1.5 mm²", "length: 3.048 m, area: 5.261155 mm²")).wiring.solve(
        EVERYTHING
    )
    inches = van(("length: 4 m, area: 1.5 mm²", "length: 120 in, area: 10 AWG")).wiring.solve(EVERYTHING)
    feet = van(("length: 4 m, area: 1.5 mm²", "length: 10 ft, area: 10 AWG")).wiring.solve(EVERYTHING)
    for other in (inches, feet):
        for node, volts in metric.volts.items():
            assert other.volts[node] == pytest.approx(volts, abs=1e-6)


def test_parallel_batteries_share_by_their_resistance(van):
    second = (
        "  second:\n    {kind: battery, name: second, place: box, chemistry: AGM, capacity: 50 Ah, "
        "resistance: 12 mΩ}\n"
    )
    joined = (
        "  - {id: jp, from: second.+, to: house.+, length: 0 m, area: 50 mm²}\n"
        "  - {id: jm, from: second.-, to: house.-, length: 0 m, area: 50 mm²}\n"
    )
    solved = van((MORE, second + MORE), ("circuits:\n", joined + "circuits:\n")).wiring.solve(EVERYTHING)
    assert solved.device_amps["house"] == pytest.approx(3 * solved.device_amps["second"], rel=2e-3)


BAD = {
    "disconnected load": (
        ("return: minus\n  - id: router", "return: lost\n  - id: router"),
        (MORE, "  lost: {kind: busbar, name: lost, place: box, rating: 9 A}\n" + MORE),
    ),
    "short across the battery": (
        ("circuits:\n", "  - {from: house.+, to: house.-, length: 0 m, area: 50 mm²}\ncircuits:\n"),
    ),
    "ring of no length": (
        (
            "circuits:\n",
            "  - {from: board.in, to: minus, length: 0 m, area: 50 mm²}\n"
            "  - {from: minus, to: board.in, length: 0 m, area: 50 mm²}\ncircuits:\n",
        ),
    ),
    "cable of no length": (("length: 0.2 m", "length: 0 m"),),
    "a very long cable": (("length: 4 m", "length: 1000 m"),),
    "an enormous load": (("power: 36 W", "power: 1000000 W"),),
    "a tiny cable": (("length: 4 m, area: 1.5 mm²", "length: 4 m, area: 0.5 mm²"),),
    "a huge cable": (("length: 4 m, area: 1.5 mm²", "length: 4 m, area: 120 mm²"),),
    "an absurd battery": (("resistance: 4 mΩ", "resistance: 1000 Ω"),),
    "a hot place": (("at: {back: 1 m, across: 1 m}", "at: {back: 1 m, across: 1 m}, hottest: 300 °C"),),
    "a lamp the wrong way round": (
        ("circuits:\n", "  - {from: house.-, to: lamp.+, length: 1 m, area: 4 mm²}\ncircuits:\n"),
    ),
    "no battery cable": (("  - {id: plus, from: house.+, to: main.in, length: 0.2 m, area: 16 mm²}\n", ""),),
}


@pytest.mark.parametrize("name", BAD)
def test_bad_input_gives_a_result_with_a_name(van, name):
    absurd = van(*BAD[name])
    for found in absurd.wiring.solve_all().values():
        assert isinstance(found, SolvedState | NoOperatingPoint)
        if isinstance(found, SolvedState):
            assert all(abs(volts) < inf for volts in found.volts.values())


def test_a_disconnected_load_is_named(van):
    assert van(*BAD["disconnected load"]).wiring.solve(NIGHT).unfed == ("lamp",)
    assert set(van(*BAD["no battery cable"]).wiring.solve(NIGHT).unfed) == {"lamp", "router"}
