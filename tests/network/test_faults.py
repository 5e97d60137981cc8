from math import inf

import pytest

from vandoc.ground.calc.conductor import IEC_60228


def copper(area_mm2: float, celsius: float, metres: float) -> float:
    """IEC 60228:2004, table 3 and annex on temperature, by hand. [Ω]"""
    return IEC_60228[area_mm2] / 1000 * metres * (234.5 + celsius) / 254.5


def test_short_circuit_currents_by_hand(van):
    faults = van().faults
    # Full AGM 12.8 V behind 4 mΩ; main fuse 0.1 V at 50 A; circuit fuse 0.1 V at 5 A; copper at 20 °C.
    ohm = 0.004 + copper(16, 20, 2.2) + 0.1 / 50
    assert faults.at_fuse_a["main"] == pytest.approx(12.8 / (0.004 + copper(16, 20, 0.2)), rel=1e-3)
    lamp = faults.at_end["lamp"]
    assert lamp.largest_a == pytest.approx(12.8 / (ohm + 0.1 / 5 + copper(1.5, 20, 8)), rel=1e-3)
    # Nearly empty and aged: 11.96 V (a fifth, between 11.8 V and 12.0 V) behind 8 mΩ; copper at 70 °C.
    ohm = 0.008 + copper(16, 70, 2.2) + 0.1 / 50 + 0.1 / 5 + copper(1.5, 70, 8)
    assert lamp.smallest_a == pytest.approx(11.96 / ohm, rel=1e-3)


def test_operating_time_of_a_fuse_and_withstand_of_its_cable(van):
    lamp = van().faults.at_end["lamp"]
    assert [fuse.link.id for fuse in lamp.fuses] == ["main", "board.1"]
    assert lamp.fuses[-1].at_smallest.longest_s == 0.1, "more than 6 times 5 A"
    cable = next(cable for cable in lamp.cables if cable.conductor.id == "lamp supply")
    # IEC 60364-4-43:2008, 434.5.2 with k = 115 (IEC 60364-5-54:2011, table A.54.4, PVC 70 °C).
    assert cable.withstand_largest_s == pytest.approx((115 * 1.5 / lamp.largest_a) ** 2, rel=1e-2)
    assert lamp.verdict == "in time"
    assert lamp.discrimination == (("main", "board.1", True),)


def test_a_fault_so_weak_that_no_fuse_sees_it_is_named(van):
    long = van(("length: 4 m, area: 1.5 mm²", "length: 90 m, area: 1.5 mm²"))
    lamp = long.faults.at_end["lamp"]
    assert lamp.smallest_a < 1.35 * 5
    assert lamp.verdict == "unseen"
    assert lamp.fuses[-1].at_smallest.longest_s == inf


def test_a_fuse_too_slow_for_its_cable(van):
    slow = van(
        ("family: C, rows", "family: E, rows"),
        ("rating: 5 A}", "rating: 40 A}"),
        ("length: 4 m, area: 1.5 mm²", "length: 2.6 m, area: 0.75 mm²"),
    )
    lamp = slow.faults.at_end["lamp"]
    assert 1.35 * 40 < lamp.smallest_a < 2 * 40, "where form E may take half an hour"
    cable = next(cable for cable in lamp.cables if cable.conductor.id == "lamp supply")
    assert cable.withstand_smallest_s < 2 <= lamp.fuses[-1].at_smallest.shortest_s
    assert lamp.verdict == "too late"


def test_selectivity_is_not_claimed_where_operating_times_overlap(van):
    near = van(("rating: 5 A}", "rating: 30 A}"))
    assert near.faults.at_end["lamp"].discrimination == (("main", "board.1", False),)


def test_fuse_types_without_time_current_data_are_not_assessed(van):
    unknown = van(("family: C, rows", "family: ANL, rows"), ("rating: 5 A}", "rating: 35 A}"))
    assert unknown.faults.at_end["lamp"].verdict == "not shown"


def test_a_way_without_a_fuse(van):
    bare = van(
        ("circuits:\n", "  - {from: house.+, to: lamp.+, length: 1 m, area: 4 mm²}\ncircuits:\n"),
    )
    assert bare.faults.at_end["lamp"].verdict == "no fuse"


def test_terminals_without_a_source_have_no_fault_current(van):
    cut = van(("  - {id: plus, from: house.+, to: main.in, length: 0.2 m, area: 16 mm²}\n", ""))
    lamp = cut.faults.at_end["lamp"]
    assert (lamp.largest_a, lamp.verdict) == (0.0, "no fault current")


def test_a_converter_feeds_no_more_than_its_limit(demo_vans):
    faults = demo_vans["heron"].faults
    limit = demo_vans["heron"].system.equipment["converter"].output_a
    assert faults.at_end["lights"].largest_a == faults.at_end["lights"].smallest_a == limit
    assert faults.at_end["solar"].verdict == "limited"


def test_a_short_at_a_consumer_agrees_with_ngspice(demo_vans, ngspice_points):
    """The short as 1 µΩ between the terminals of a few consumers of each van, loads off, in ngspice."""
    from vandoc.ground.calc.devices import Battery
    from vandoc.physics.network.faults import _Finder

    nets, expected = [], []
    for van in demo_vans.values():
        finder = _Finder(van.system, van.network, van.sizing.conductors, van.sizing.fuses)
        shorts, cells = finder.largest, finder.largest.cells
        wires = {edge.id: (edge.start, edge.end) for edge in van.network.edges()}
        fed = [c for c in van.network.consumers if shorts.current_a((c.plus, c.minus)) > 0][::5]
        for consumer in fed:
            ohms = dict(shorts.ohms) | {"the short": 1e-6}
            devices = [Battery(f"b{n}", c.plus, c.minus, c.volts, c.ohm) for n, c in enumerate(cells)]
            nets.append((wires | {"the short": (consumer.plus, consumer.minus)}, ohms, devices, None))
            expected.append(shorts.current_a((consumer.plus, consumer.minus)))
    for (_, amps), value in zip(ngspice_points(nets), expected, strict=True):
        assert amps["the short"] == pytest.approx(value, rel=1e-3)
