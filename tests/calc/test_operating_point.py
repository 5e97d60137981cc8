from collections import Counter
from math import sqrt

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from vandoc.ground.calc.devices import Battery, Inlet, Load, Supply
from vandoc.ground.calc.operating_point import NoOperatingPoint, OperatingNet, OperatingPoint

BATTERY = Battery("house", "b+", "b-", 12.8, 0.005)
OUT_AND_BACK = {"out": ("b+", "l+"), "back": ("l-", "b-")}


def across(point, device):
    return point.volts[device.plus] - point.volts[device.minus]


def lone_load(watts, ohm):
    load = Load("load", "l+", "l-", "power", watts)
    return load, OperatingNet(OUT_AND_BACK, [BATTERY, load]).solve({"out": ohm / 2, "back": ohm / 2})


def test_a_lone_load_of_constant_power_is_a_quadratic():
    # Voltage by Kirchhoff: u² − E·u + R·P = 0, upper root. A bracketing root finder of a general numeric
    # library gives 12.444349413119067 V for the second load with 24 Ω beside it (checked outside).
    load, point = lone_load(600.0, 0.02)
    assert across(point, load) == pytest.approx((12.8 + sqrt(12.8**2 - 4 * 0.025 * 600)) / 2, abs=1e-12)
    lamp = Load("lamp", "l+", "l-", "resistance", 24.0)
    load = Load("load", "l+", "l-", "power", 120.0)
    point = OperatingNet(OUT_AND_BACK, [BATTERY, load, lamp]).solve({"out": 0.02, "back": 0.01})
    assert across(point, load) == pytest.approx(12.444349413119067, abs=1e-12)


def test_no_operating_point_is_found_exactly_where_the_quadratic_has_no_root():
    limit_w = 12.8**2 / (4 * 0.025)
    for part in (0.5, 0.99, 0.999999):
        load, point = lone_load(limit_w * part, 0.02)
        assert isinstance(point, OperatingPoint)
        assert across(point, load) == pytest.approx(6.4 * (1 + sqrt(1 - part)), abs=1e-9)
    for part in (1.000001, 1.5, 1000.0):
        _, point = lone_load(limit_w * part, 0.02)
        assert isinstance(point, NoOperatingPoint)
        assert point.share == pytest.approx(1 / part, rel=1e-5)
        assert point.loads == {"load": pytest.approx(6.4, abs=0.1)}, (
            "a lone load gives way at half the voltage"
        )


def test_only_the_circuits_that_collapse_are_named():
    near = Load("near", "b+", "b-", "power", 50.0)
    far = Load("far", "l+", "l-", "power", 5000.0)
    point = OperatingNet(OUT_AND_BACK, [BATTERY, near, far]).solve({"out": 0.05, "back": 0.05})
    assert isinstance(point, NoOperatingPoint)
    assert list(point.loads) == ["far"]


def test_constant_current_beyond_what_a_cable_carries_has_no_operating_point():
    load = Load("load", "l+", "l-", "current", 200.0)
    point = OperatingNet(OUT_AND_BACK, [BATTERY, load]).solve({"out": 0.05, "back": 0.05})
    assert isinstance(point, NoOperatingPoint)
    assert point.share == pytest.approx(12.8 / (200 * 0.105), rel=1e-6)


def test_a_supply_holds_its_voltage_then_its_current_and_never_takes_any():
    supply = Supply("charger", "c+", "c-", 14.4, 0.001, 30.0)
    wires = {"out": ("c+", "b+"), "back": ("b-", "c-")}
    ohms = {"out": 0.01, "back": 0.01}
    for emf, amps in ((14.39, 0.01 / 0.026), (12.8, 30.0), (14.6, 0.0)):
        battery = Battery("house", "b+", "b-", emf, 0.005)
        point = OperatingNet(wires, [battery, supply]).solve(ohms)
        assert point.device_amps["charger"] == pytest.approx(amps, abs=1e-8)
        assert point.device_amps["house"] == pytest.approx(-amps, abs=1e-8)


def test_two_supplies_alone_share_what_one_cannot_carry():
    supplies = [Supply("a", "p", "m", 14.4, 0.001, 50.0), Supply("b", "p", "m", 14.0, 0.001, 60.0)]
    found = {}
    for amps in (40.0, 100.0, 120.0):
        net = OperatingNet({"w": ("p", "l")}, [*supplies, Load("load", "l", "m", "current", amps)])
        found[amps] = net.solve({"w": 0.001})
    assert found[40.0].device_amps["a"] == pytest.approx(40)
    assert found[40.0].device_amps["b"] == pytest.approx(0, abs=1e-8)
    assert found[100.0].device_amps["a"] == pytest.approx(50)
    assert found[100.0].device_amps["b"] == pytest.approx(50)
    assert isinstance(found[120.0], NoOperatingPoint)
    assert found[120.0].share == pytest.approx(110 / 120, rel=1e-6)
    assert list(found[120.0].loads) == ["load"]


def test_a_converter_takes_what_it_gives_and_its_loss():
    inlet = Inlet("inlet", "b+", "b-", 0.9)
    converter = Supply("converter", "o+", "b-", 5.0, 0.001, 10.0, inlet)
    load = Load("load", "o+", "b-", "current", 8.0)
    point = OperatingNet({}, [BATTERY, converter, load]).solve({})
    given = across(point, load) * 8.0
    assert across(point, BATTERY) * point.device_amps["inlet"] == pytest.approx(given / 0.9, rel=1e-9)
    assert point.device_amps["house"] == pytest.approx(point.device_amps["inlet"], rel=1e-9)


def test_an_inlet_at_its_limit_limits_the_output():
    panels = Supply("panels", "p+", "p-", 36.0, 0.001, 6.5)
    tracker = Supply("tracker", "b+", "b-", 14.4, 0.001, 30.0, Inlet("pv", "p+", "p-", 0.95, 6.0))
    point = OperatingNet({}, [BATTERY, panels, tracker]).solve({})
    assert point.device_amps["panels"] == pytest.approx(6.0)
    power = 0.95 * 6.0 * across(point, panels)
    assert point.device_amps["tracker"] * across(point, BATTERY) == pytest.approx(power, rel=1e-8)


def test_a_supply_that_nothing_feeds_gives_nothing():
    lonely = Supply("converter", "o+", "o-", 5.0, 0.001, 10.0, Inlet("inlet", "x+", "x-", 0.9))
    itself = Supply("loop", "s+", "s-", 5.0, 0.001, 10.0, Inlet("loop inlet", "s+", "s-", 0.9))
    load = Load("load", "o+", "o-", "current", 8.0)
    point = OperatingNet({}, [BATTERY, lonely, itself, load]).solve({})
    assert set(point.unfed) == {"converter", "inlet", "loop", "loop inlet", "load"}
    assert set(point.volts) == {"b+", "b-"}


def test_an_inlet_beside_its_own_outlet_settles():
    charger = Supply("charger", "b+", "b-", 14.4, 0.001, 50.0, Inlet("inlet", "b+", "b-", 0.9))
    point = OperatingNet({}, [Battery("house", "b+", "b-", 12.2, 0.015), charger]).solve({})
    volts = across(point, BATTERY)
    assert point.device_amps["inlet"] * 0.9 == pytest.approx(point.device_amps["charger"], rel=1e-8)
    assert point.device_amps["house"] == pytest.approx((12.2 - volts) / 0.015)


def test_a_load_with_reversed_polarity_is_named_and_the_rest_is_solved():
    wrong = Load("wrong", "b-", "b+", "power", 50.0)
    right = Load("right", "b+", "b-", "power", 50.0)
    point = OperatingNet({}, [BATTERY, wrong, right]).solve({})
    assert point.unfed == ("wrong",)
    assert point.device_amps["right"] == pytest.approx(50 / across(point, right))


def test_a_short_circuit_a_dead_end_and_a_part_without_source_are_solved():
    wires = {"short": ("b+", "b-"), "end": ("b+", "nowhere"), "far": ("x", "y")}
    point = OperatingNet(wires, [BATTERY, Load("dead", "x", "y", "power", 10.0)]).solve(
        {"short": 1e-6, "end": 0.01, "far": 0.01}
    )
    assert point.amps["short"] == pytest.approx(12.8 / 0.005001, rel=1e-9)
    assert point.amps["end"] == point.amps["far"] == 0
    assert point.volts["nowhere"] == point.volts["b+"]
    assert "x" not in point.volts
    assert point.unfed == ("dead",)


def test_a_load_between_two_separate_parts_is_unfed():
    other = Battery("other", "c+", "c-", 12.8, 0.005)
    point = OperatingNet({}, [BATTERY, other, Load("load", "b+", "c-", "current", 5.0)]).solve({})
    assert point.unfed == ("load",)


def test_loads_in_series_and_rings_of_wires_are_solved():
    wires = {
        "1": ("b+", "x"),
        "2": ("x", "y"),
        "3": ("x", "y"),
        "4": ("y", "b-"),
        "loop": ("x", "z"),
        "5": ("z", "x"),
    }
    lamps = [Load("one", "p", "q", "resistance", 3.0), Load("two", "q2", "r", "resistance", 3.0)]
    wires |= {"6": ("b+", "p"), "7": ("q", "q2"), "8": ("r", "b-")}
    ohms = dict.fromkeys(wires, 0.5)
    point = OperatingNet(wires, [BATTERY, *lamps]).solve(ohms)
    assert point.amps["7"] == pytest.approx(point.device_amps["one"])
    assert point.amps["2"] == pytest.approx(point.amps["1"] / 2)
    assert point.amps["loop"] == pytest.approx(0, abs=1e-12)
    assert point.volts["z"] == pytest.approx(point.volts["x"])


def test_impossible_networks_are_refused():
    with pytest.raises(ValueError, match="resistance of 'w'"):
        OperatingNet({"w": ("b+", "x")}, [BATTERY]).solve({"w": 0.0})
    with pytest.raises(ValueError, match="both ends of 'w'"):
        OperatingNet({"w": ("b+", "b+")}, [BATTERY])
    with pytest.raises(ValueError, match="both ends of 'load'"):
        OperatingNet({}, [BATTERY, Load("load", "b+", "b+", "current", 1.0)])
    with pytest.raises(ValueError, match="comes twice"):
        OperatingNet({}, [BATTERY, BATTERY])
    for make in (
        lambda: Battery("x", "a", "b", 12.0, 0.0),
        lambda: Load("x", "a", "b", "power", -1.0),
        lambda: Load("x", "a", "b", "resistance", 0.0),
        lambda: Supply("x", "a", "b", 12.0, 0.001, -1.0),
        lambda: Inlet("x", "a", "b", 0.0),
    ):
        with pytest.raises(ValueError, match="must"):
            make()


def test_an_empty_network_has_an_empty_solution():
    assert OperatingNet({}, []).solve({}) == OperatingPoint({}, {}, {}, {}, ())


# Nets for the laws below: two rails, any wires on them, batteries and loads between them.
OHM = st.floats(-4, -1).map(lambda power: 10**power)
NODE = st.integers(0, 7)


@st.composite
def nets(draw, behaves=("current", "power", "resistance"), supplies=2):
    wires, ohms = {}, {}
    count = draw(st.integers(2, 8))
    node = st.integers(0, count - 1)

    def add(a, b):
        wires[f"w{len(wires)}"] = (a, b)
        ohms[f"w{len(ohms)}"] = draw(OHM)

    for rail in "pm":
        for i in range(1, count):
            add(f"{rail}{i}", f"{rail}{draw(st.integers(0, i - 1))}")
        for a, b in draw(st.lists(st.tuples(node, node), max_size=3)):
            if a != b:
                add(f"{rail}{a}", f"{rail}{b}")
    devices = []
    for number in range(draw(st.integers(1, 2))):
        at = draw(node)
        devices.append(Battery(f"b{number}", f"p{at}", f"m{at}", draw(st.floats(12, 13.5)), draw(OHM)))
    for number in range(draw(st.integers(0, supplies))):
        at, to = draw(node), draw(node)
        inlet = draw(st.sampled_from([None, Inlet(f"i{number}", f"p{to}", f"m{to}", 0.9)]))
        devices.append(
            Supply(
                f"s{number}",
                f"p{at}",
                f"m{at}",
                draw(st.floats(13, 14.6)),
                0.002,
                draw(st.floats(1, 50)),
                inlet,
            )
        )
    sizes = {"current": st.floats(0, 12), "power": st.floats(0, 120), "resistance": st.floats(0.5, 50)}
    for number in range(draw(st.integers(1, 5))):
        kind = draw(st.sampled_from(behaves))
        devices.append(Load(f"l{number}", f"p{draw(node)}", f"m{draw(node)}", kind, draw(sizes[kind])))
    return wires, ohms, devices


@settings(max_examples=150, deadline=None)
@given(nets())
def test_every_solution_obeys_kirchhoffs_laws_and_conserves_energy(net):
    wires, ohms, devices = net
    point = OperatingNet(wires, devices).solve(ohms)
    assume(isinstance(point, OperatingPoint))
    left, size = Counter(), Counter()
    watts = 0.0
    flows = [(a, b, point.amps[name]) for name, (a, b) in wires.items()]
    for name, (a, b) in wires.items():
        assert point.volts[a] - point.volts[b] == pytest.approx(point.amps[name] * ohms[name], abs=1e-9)
        watts -= point.amps[name] ** 2 * ohms[name]
    inlets = [device.inlet for device in devices if isinstance(device, Supply) and device.inlet]
    for device in [*devices, *inlets]:
        gives = isinstance(device, Battery | Supply)
        amps = point.device_amps[device.name]
        flows.append((device.minus, device.plus, amps) if gives else (device.plus, device.minus, amps))
        volts = across(point, device)
        watts += amps * volts if gives else -amps * volts
        match device:
            case Battery():
                assert volts == pytest.approx(device.volts - amps * device.ohm, abs=1e-8)
            case Supply():
                assert -1e-6 <= amps <= device.limit_a + 1e-6
                if amps < device.limit_a - 1e-6:
                    assert volts >= device.volts - amps * device.ohm - 1e-7
            case Load(behaves="current"):
                assert amps == device.amount
            case Load(behaves="power"):
                assert amps * volts == pytest.approx(device.amount, abs=1e-6)
            case Load(behaves="resistance"):
                assert amps == pytest.approx(volts / device.amount, abs=1e-9)
    for device in devices:
        if isinstance(device, Supply) and device.inlet:
            given = point.device_amps[device.name] * across(point, device)
            taken = point.device_amps[device.inlet.name] * across(point, device.inlet)
            assert taken * device.inlet.efficiency == pytest.approx(given, abs=1e-5)
    for tail, head, amps in flows:
        left[tail] -= amps
        left[head] += amps
        size[tail] += abs(amps)
        size[head] += abs(amps)
    for node, value in left.items():
        assert abs(value) <= 1e-8 * size[node] + 1e-6
    assert abs(watts) <= 1e-6 * (1 + sum(abs(f[2]) for f in flows))


@settings(max_examples=100, deadline=None)
@given(nets(behaves=("current", "power"), supplies=0), st.data())
def test_on_trees_from_one_battery_more_copper_never_lowers_a_voltage_at_a_load(net, data):
    # True where the wiring branches but never rejoins and one battery feeds it: then each load's current
    # only ever flows outwards. With a second source more copper may draw its neighbour down, and a lamp of
    # constant resistance draws more on a better cable and so lowers its neighbours: neither is promised.
    wires, ohms, devices = net
    rails = {"p": {"p0"}, "m": {"m0"}}
    tree = {}
    for name, (a, b) in wires.items():
        if a not in rails[a[0]] and b in rails[b[0]]:
            rails[a[0]].add(a)
            tree[name] = (a, b)
    battery = Battery("b", "p0", "m0", 13.0, 0.004)
    loads = [d for d in devices if isinstance(d, Load)]
    thin = OperatingNet(tree, [battery, *loads]).solve(ohms)
    assume(isinstance(thin, OperatingPoint))
    name = data.draw(st.sampled_from(sorted(tree)))
    thick = OperatingNet(tree, [battery, *loads]).solve(
        ohms | {name: ohms[name] * data.draw(st.floats(0.1, 1))}
    )
    for load in loads:
        assert across(thick, load) >= across(thin, load) - 1e-8


@settings(max_examples=60, deadline=None)
@given(nets(behaves=("current",), supplies=0), st.data())
def test_at_one_load_alone_a_longer_cable_never_raises_its_voltage_whatever_the_mesh(net, data):
    # Rayleigh's law of monotone resistance: one battery, one load, any parallel ways and rings.
    wires, ohms, devices = net
    battery = next(d for d in devices if isinstance(d, Battery))
    load = next(d for d in devices if isinstance(d, Load))
    name = data.draw(st.sampled_from(sorted(wires)))
    short = OperatingNet(wires, [battery, load]).solve(ohms)
    assume(isinstance(short, OperatingPoint))
    longer = OperatingNet(wires, [battery, load]).solve(
        ohms | {name: ohms[name] * data.draw(st.floats(1, 10))}
    )
    if isinstance(longer, OperatingPoint):
        assert across(longer, load) <= across(short, load) + 1e-9
    net_power = OperatingNet(wires, [battery, Load("l", load.plus, load.minus, "power", 60.0)])
    before = net_power.solve(ohms)
    after = net_power.solve(ohms | {name: ohms[name] * 2})
    if isinstance(after, OperatingPoint):
        assert (
            after.volts[load.plus] - after.volts[load.minus]
            <= before.volts[load.plus] - before.volts[load.minus] + 1e-9
        )


@settings(max_examples=60, deadline=None)
@given(nets())
def test_the_order_of_elements_and_the_direction_of_wires_change_nothing(net):
    wires, ohms, devices = net
    one = OperatingNet(wires, devices).solve(ohms)
    turned = {name: (b, a) for name, (a, b) in reversed(wires.items())}
    other = OperatingNet(turned, devices).solve(ohms)
    assert type(one) is type(other)
    if isinstance(one, OperatingPoint):
        for name, amps in one.amps.items():
            assert other.amps[name] == pytest.approx(-amps, abs=1e-5)
        for node, volts in one.volts.items():
            assert other.volts[node] == pytest.approx(volts, abs=1e-8)


@settings(max_examples=100, deadline=None)
@given(nets(), st.floats(-9, 9), st.floats(-3, 9))
def test_absurd_values_give_a_named_result(net, ohm_power, amount_power):
    wires, ohms, devices = net
    absurd = {name: ohm * 10**ohm_power for name, ohm in ohms.items()}
    heavy = [
        Load(d.name, d.plus, d.minus, d.behaves, max(d.amount, 1e-3) * 10**amount_power)
        if isinstance(d, Load)
        else d
        for d in devices
    ]
    assert isinstance(OperatingNet(wires, heavy).solve(absurd), OperatingPoint | NoOperatingPoint)
