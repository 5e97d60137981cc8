"""Circuits, the short form, become cables, fuses and joints; names that look alike stay apart."""

from copy import deepcopy

import pytest

from vandoc.model.system import System
from vandoc.physics.network.expand import build
from vandoc.physics.network.widest_paths import WidestPaths

VAN = {
    "van": {
        "name": "Tern",
        "nominal": "12 V",
        "size": {"length": "5 m", "width": "2 m", "driver": "left"},
    },
    "workshop": {"name": "Somebody"},
    "places": {
        "box": {"label": "under the seat", "at": {"back": "1 m", "across": "1 m"}},
        "roof": {"label": "on the roof", "at": {"back": "2 m", "across": "1 m"}, "hottest": "70 °C"},
    },
    "equipment": {
        "house": {"kind": "battery", "name": "b", "place": "box", "chemistry": "AGM", "capacity": "100 Ah"},
        "board": {
            "kind": "fuse-board",
            "name": "f",
            "place": "box",
            "family": "C",
            "rows": 1,
            "columns": 4,
            "fuses": {"4": {"rating": "3 A"}},
        },
        "switch": {"kind": "switch", "name": "s", "place": "box", "rating": "10 A"},
        "monitor": {"kind": "monitor", "name": "m", "place": "roof"},
    },
    "loads": {
        "lamp": {"name": "lamp", "place": "roof", "power": "6 W", "count": 4},
        "fan": {"name": "fan", "place": "roof", "current": "1.5 A"},
    },
    "cables": [
        {"from": "house.+", "to": "board.in", "length": "1 m", "area": "10 mm²"},
        {"from": "board.4", "to": "monitor.+", "length": "2 m"},
        {"from": "monitor.-", "to": "house.-", "length": "2 m"},
    ],
    "circuits": [
        {
            "id": "roof",
            "fuse": {"board": "board", "position": 2, "rating": "5 A"},
            "cable": {"length": "3 m", "area": "14 AWG", "through": ["box"], "metal": "grommet"},
            "load": ["lamp", "fan"],
            "switch": "switch",
            "return": {"to": "house.-", "length": "2.5 m", "area": "4 mm²"},
        },
    ],
}


@pytest.fixture
def network():
    return build(System.model_validate(deepcopy(VAN)))


def test_a_circuit_becomes_a_fuse_two_cables_and_joints(network):
    supply, back = network.conductors["roof supply"], network.conductors["roof return"]
    assert (supply.start, supply.end, supply.length_m, supply.size) == ("board.2", "switch.in", 3, "14 AWG")
    assert supply.area_mm2 == pytest.approx(2.081, rel=1e-3)  # NBS Handbook 100 (1966), AWG 14
    assert (supply.places, supply.metal, supply.role) == (("box",), "grommet", "supply")
    assert (back.start, back.end, back.length_m, back.area_mm2) == ("lamp.-", "house.-", 2.5, 4)
    assert back.places == ("roof", "box")
    assert (back.trail, supply.trail) == (("circuits", 0, "return"), ("circuits", 0, "cable"))
    fuse = network.fuses["board.2"]
    assert (fuse.start, fuse.end, fuse.rating_a, fuse.position) == ("board.in", "board.2", 5, 2)
    joined = {frozenset((joint.start, joint.end)) for joint in network.joints.values()}
    assert joined == {
        frozenset(("lamp.+", "fan.+")),
        frozenset(("lamp.-", "fan.-")),
        frozenset(("switch.out", "lamp.+")),
        frozenset(("switch.in", "switch.out")),
    }


def test_a_cable_from_a_position_of_a_board_gets_its_fuse(network):
    fuse = network.fuses["board.4"]
    assert (fuse.rating_a, fuse.trail) == (3, ("equipment", "board", "fuses", "4"))
    assert set(network.fuses) == {"board.2", "board.4"}


def test_loads_become_currents_between_their_terminals(network):
    amps = {consumer.owner: consumer.amps_a for consumer in network.consumers}
    assert amps == {"lamp": pytest.approx(4 * 6 / 12), "fan": 1.5, "monitor": 0.01}


def test_supply_and_return_sides_are_told_apart(network):
    assert not network.positive & network.negative
    assert {"board.2", "lamp.+", "fan.+", "monitor.+", "switch.out"} <= network.positive
    assert {"house.-", "lamp.-", "fan.-", "monitor.-", "chassis"} <= network.negative


def test_cables_without_a_name_that_run_alike_keep_apart():
    van = deepcopy(VAN)
    van["cables"].append(dict(van["cables"][0]))
    assert [name for name in build(System.model_validate(van)).conductors if name.startswith("house.+")] == [
        "house.+ to board.in",
        "house.+ to board.in (2)",
    ]


def test_the_widest_way_is_the_largest_fuse_that_every_way_shares(network):
    ratings = {link.id: link.rating_a for link in network.fuses.values()}
    widest = WidestPaths(network, ["house.+"], ratings).best
    assert widest["board.in"] == float("inf")
    assert (widest["lamp.+"], widest["fan.+"], widest["monitor.+"]) == (5, 5, 3)
    assert "house.-" not in widest


def test_a_path_has_the_fewest_edges(network):
    path = network.path(["house.+"], "fan.+")
    assert [edge.id for edge in path][:3] == ["house.+ to board.in", "board.2", "roof supply"]
    assert network.path(["house.+"], "house.-") is None


def test_a_battery_sensor_an_alternator_without_a_negative_and_an_earth_point_are_joints():
    van = deepcopy(VAN)
    van["equipment"] |= {
        "starter": {
            "kind": "battery",
            "name": "s",
            "place": "box",
            "role": "starter",
            "chemistry": "flooded",
            "capacity": "70 Ah",
            "sensor": True,
        },
        "alternator": {
            "kind": "alternator",
            "name": "a",
            "place": "box",
            "rating": "90 A",
            "regulation": "fixed",
        },
        "earth": {"kind": "earth-point", "name": "e", "place": "box"},
        "shunt": {"kind": "shunt", "name": "s", "place": "box", "rating": "300 A"},
    }
    joints = {j.kind: (j.start, j.end) for j in build(System.model_validate(van)).joints.values()}
    assert joints["sensor"] == ("starter.-", "starter.sensor")
    assert joints["case"] == ("alternator.-", "chassis")
    assert joints["earth"] == ("earth", "chassis")
    assert joints["shunt"] == ("shunt.battery", "shunt.system")
    van["cables"].append({"from": "alternator.-", "to": "earth", "length": "1 m"})
    assert "case" not in {joint.kind for joint in build(System.model_validate(van)).joints.values()}


def test_chargers_converters_and_panels_are_limited_sources_and_take_what_they_need():
    van = deepcopy(VAN)
    van["equipment"] |= {
        "driving": {
            "kind": "charger",
            "name": "d",
            "place": "box",
            "source": "alternator",
            "output": "20 A",
            "output_voltage": "24 V",
            "input_voltage": "12 V",
            "efficiency": "80 %",
        },
        "converter": {
            "kind": "converter",
            "name": "c",
            "place": "box",
            "input_voltage": "24 V",
            "output_voltage": "12 V",
            "output": "10 A",
            "efficiency": "90 %",
        },
        "panels": {
            "kind": "solar-array",
            "name": "p",
            "place": "roof",
            "power": "100 W",
            "voc": "22 V",
            "isc": "6 A",
            "vmp": "18 V",
            "series": 2,
            "parallel": 2,
        },
        "solar": {"kind": "charger", "name": "s", "place": "box", "source": "solar", "output": "15 A"},
        "inverter": {
            "kind": "inverter",
            "name": "i",
            "place": "box",
            "power": "600 W",
            "efficiency": "80 %",
        },
    }
    van["cables"].append({"from": "panels.+", "to": "solar.pv+", "length": "3 m"})
    network = build(System.model_validate(van))
    sources = {source.owner: (source.nominal_v, source.limit_a) for source in network.sources}
    assert sources == {
        "house": (12, None),
        "driving": (24, 20),
        "converter": (12, 10),
        "panels": (36, 12),
        "solar": (12, 15),
    }
    assert [battery.owner for battery in network.batteries()] == ["house"]
    amps = {c.owner: c.amps_a for c in network.consumers if c.kind != "load"}
    assert amps["driving"] == pytest.approx(24 * 20 / 0.8 / 12)  # power out, by efficiency, by voltage in
    assert amps["converter"] == pytest.approx(12 * 10 / 0.9 / 24)
    assert amps["inverter"] == pytest.approx(600 / 0.8 / 12)
    assert amps["solar"] == 12
