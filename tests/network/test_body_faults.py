"""Faults to the vehicle body: by hand, and against a general-purpose circuit simulator, ngspice (Debian)."""

from math import log

import pytest

from vandoc.ground.calc.conductor import IEC_60228
from vandoc.ground.calc.devices import Battery, Load
from vandoc.ground.calc.fuse_time import let_through_a2s
from vandoc.model.traits import CHASSIS
from vandoc.physics.network.body_faults import find_body_faults
from vandoc.physics.network.extremes import Extremes

EARTH = (
    "  minus: {kind",
    "  earth: {kind: earth-point, name: earth point, place: box, clean: true}\n  minus: {kind",
)
BOND = "  - {id: bond, from: minus, to: earth, length: 1 m, area: 4 mm²}\ncircuits:"


def faults_of(van):
    return find_body_faults(van.system, van.network, van.sizing.conductors, van.sizing.fuses)


def copper(area_mm2: float, celsius: float, metres: float) -> float:
    """IEC 60228:2004, table 3 and annex on temperature, by hand. [Ω]"""
    return IEC_60228[area_mm2] / 1000 * metres * (234.5 + celsius) / 254.5


def bonded(van, *changes):
    return van(EARTH, ("circuits:", BOND), *changes)


def at(van, terminal):
    return next(fault for fault in faults_of(van).faults if fault.terminal == terminal)


def test_the_current_to_the_body_by_hand(van):
    lamp = at(bonded(van), "lamp.+")
    # Full AGM 12.8 V behind 4 mΩ; fuses of 50 A and 5 A, 0.1 V at rating; earth joint 0.3 mΩ; copper 20 °C.
    ohm = 0.004 + 0.1 / 50 + 0.1 / 5 + copper(16, 20, 2.2) + copper(1.5, 20, 4) + copper(4, 20, 1) + 0.0003
    assert lamp.largest_a == pytest.approx(12.8 / ohm, rel=1e-3)
    # Nearly empty and aged: 11.96 V behind 8 mΩ; copper at 70 °C; earth joint at the accepted 1 mΩ.
    ohm = 0.008 + 0.1 / 50 + 0.1 / 5 + copper(16, 70, 2.2) + copper(1.5, 70, 4) + copper(4, 70, 1) + 0.001
    assert lamp.smallest_a == pytest.approx(11.96 / ohm, rel=1e-3)
    assert [fuse.link.id for fuse in lamp.fuses] == ["main", "board.1"]
    assert lamp.opens


def test_what_the_return_withstands_by_hand(van):
    main = at(bonded(van), "main.out")
    bond = next(part for part in main.parts if part.cable.conductor.id == "bond")
    k = 226 * (log(1 + (160 - 70) / (234.5 + 70))) ** 0.5  # IEC 60364-5-54:2011, annex A
    assert k == pytest.approx(115, abs=0.5)
    assert bond.withstand_a2s == pytest.approx((k * 4) ** 2, rel=1e-2)
    # Form E of 50 A: 1 s at 6 times its rating, and 10 ms of arcing at the current of the short circuit.
    assert let_through_a2s("E", 50.0, main.largest_a) == 300.0**2
    assert bond.heat_a2s == pytest.approx(300**2 + 0.01 * main.largest_a**2, rel=1e-3)
    assert bond.survives == "survives"


def test_a_thin_bond_burns_before_a_large_fuse_opens(van):
    large = bonded(van, ("family: E, rating: 50 A", "family: SF51, rating: 175 A"))
    bond = next(p for p in at(large, "main.out").parts if p.cable.conductor.id == "bond")
    assert bond.withstand_a2s < 1.0 * (5 * 175) ** 2 < bond.heat_a2s
    assert bond.survives == "burns"


def test_before_the_first_fuse_only_distance_protects(van):
    fault = at(bonded(van), "main.in")
    assert (fault.fuses, fault.parts, fault.opens) == ((), (), None)


def test_a_battery_without_a_bond_is_named(van):
    found = faults_of(van())
    assert found.unbonded == ("house",)
    assert found.faults == ()


def test_a_converter_feeds_the_body_with_no_more_than_its_limit(demo_vans):
    limit = demo_vans["heron"].system.equipment["converter"].output_a
    fault = next(f for f in faults_of(demo_vans["heron"]).faults if f.terminal == "lights.+")
    assert (fault.source, fault.largest_a, fault.smallest_a) == ("converter", limit, limit)
    assert {part.survives for part in fault.parts} == {"survives"}


def fault_nets(van, shorts, passes, ports):
    """The fault as 1 µΩ from each of the ports, without chargers and with them as currents."""
    edges = [edge for edge in van.network.edges() if passes(edge)]
    wires = {edge.id: (edge.start, edge.end) for edge in edges}
    cells = [Battery(f"b{n}", c.plus, c.minus, c.volts, c.ohm) for n, c in enumerate(shorts.cells)]
    feeds = [Load(f"f{n}", f.minus, f.plus, "current", f.amps) for n, f in enumerate(shorts.feeds)]
    ohms = dict(shorts.ohms) | {"the fault": 1e-6}
    for port in ports:
        if shorts.current_a(port) > 0:
            back = van.network.path([CHASSIS], shorts.cells[-1].minus, passes) or []
            least, most = shorts.bounds(port, [edge.id for edge in back])
            pair = shorts.current_a(port), shorts.most_a(port)
            nets = [(wires | {"the fault": port}, ohms, [*cells, *more], None) for more in ([], feeds)]
            yield nets, least | {"the fault": min(pair)}, most | {"the fault": max(pair)}


def test_faults_to_the_body_agree_with_ngspice(demo_vans, ngspice_points):
    """At both extremes, from each positive terminal of each van to its body, as ngspice solves it."""
    nets, expected = [], []
    for van in demo_vans.values():
        ratings = {ident: fuse.rating_a for ident, fuse in van.sizing.fuses.items()}
        extremes = Extremes(van.system, van.network, van.sizing.conductors, ratings)
        terminals = dict.fromkeys(f.terminal for f in faults_of(van).faults if f.source != "converter")
        ports = [(terminal, CHASSIS) for terminal in terminals]
        for shorts, passes in (
            (extremes.largest(ports), lambda _: True),
            (extremes.smallest(ports), extremes.closed),
        ):
            assert shorts.feeds
            for pair, least, most in fault_nets(van, shorts, passes, ports):
                nets += pair
                expected.append((least, most))
    answers = [amps for _, amps in ngspice_points(nets)]
    worst, raised = 0.0, 0.0
    for number, (least, most) in enumerate(expected):
        dark, fed = answers[2 * number], answers[2 * number + 1]
        for choose, values in ((min, least), (max, most)):
            for name, value in values.items():
                found = choose(abs(dark[name]), abs(fed[name]))
                assert found == pytest.approx(value, rel=1e-3, abs=1e-2), name
                if value > 1:
                    worst = max(worst, abs(found - value) / value)
        raised = max(raised, most["the fault"] - least["the fault"])
    print(f"{len(nets)} faults to the body, largest deviation {worst:.2e} of a current")
    print(f"chargers add up to {raised:.1f} A")
    assert len(nets) > 400
    assert raised > 20
