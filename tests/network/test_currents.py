"""Currents in the wiring of whole vans: against Kirchhoff's laws, hand sums and ngspice."""

from pathlib import Path

import pytest

from vandoc.analysis import Van
from vandoc.ground.calc.battery import full_voltage_v
from vandoc.ground.calc.devices import Battery, Load
from vandoc.model.system import System
from vandoc.physics.network.currents import Resistances, SizingState, battery_resistance_ohm, solve
from vandoc.physics.network.expand import build
from vandoc.reading.loader import load

SITES = Path(__file__).parents[2] / "sites"
VANS = ["curlew", "heron", "wren"]


@pytest.fixture(scope="module")
def vans():
    found = {}
    for name in VANS:
        van = Van.of(load(SITES / name / "van.yml"))
        system, network, sizing = van.system, van.network, van.sizing
        ohms = {ident: sized.ohm for ident, sized in sizing.conductors.items()}
        ratings = {ident: sized.rating_a for ident, sized in sizing.fuses.items()}
        found[name] = (system, network, sizing, Resistances(system, ohms, ratings))
    return found


@pytest.mark.parametrize("state", [SizingState.SUPPLY, SizingState.CHARGE])
@pytest.mark.parametrize("name", VANS)
def test_currents_at_each_node_sum_to_zero(name, state, vans):
    """Kirchhoff's current law, at each node where only cables, fuses and contacts meet."""
    system, network, _, resistances = vans[name]
    solution = solve(system, network, resistances, state)
    ends = {end for thing in (*network.sources, *network.consumers) for end in (thing.plus, thing.minus)}
    nodes = {end for edge in network.edges() for end in (edge.start, edge.end)} - ends
    assert len(nodes) > 10
    for node in nodes:
        total = sum(
            solution.amps[e.id] * (1 if e.end == node else -1) for e in network.at(node) if e.start != e.end
        )
        assert total == pytest.approx(0, abs=1e-6), node


@pytest.mark.parametrize("name", VANS)
def test_each_load_gets_its_current(name, vans):
    """And the same current comes back at its minus."""
    system, network, _, resistances = vans[name]
    solution = solve(system, network, resistances, SizingState.SUPPLY)
    circuits = [circuit for circuit in system.circuits if len(circuit.loads) == 1]
    assert len(circuits) >= 5
    for circuit in circuits:
        amps = next(c.amps_a for c in network.consumers if c.owner == circuit.loads[0])
        assert solution.amps[f"{circuit.id} supply"] == pytest.approx(amps, rel=1e-6)
        assert solution.amps[f"{circuit.id} return"] == pytest.approx(amps, rel=1e-6)


@pytest.mark.parametrize("name", VANS)
def test_ngspice_finds_the_same_voltages(name, vans, ngspice_points):
    """Every load on, nothing charging: within 1 mV at every terminal."""
    system, network, _, resistances = vans[name]
    solution = solve(system, network, resistances, SizingState.SUPPLY)
    open_relays = {ident for ident, piece in system.equipment.items() if piece.kind == "relay"}
    edges = [e for e in network.edges() if getattr(e, "owner", "") not in open_relays]
    devices = []
    for battery in network.batteries():
        piece = system.equipment[battery.owner]
        volts = full_voltage_v(piece.chemistry, battery.nominal_v)
        ohm = battery_resistance_ohm(piece, system.van.nominal_v)
        devices.append(Battery(battery.owner, battery.plus, battery.minus, volts, ohm))
    by_voltage = {source.owner: source for source in network.sources if source.kind == "converter"}
    for ident, source in by_voltage.items():
        devices.append(Battery(ident, source.plus, source.minus, source.nominal_v, 1e-3))
    for consumer in network.consumers:
        amps = consumer.amps_a
        if consumer.kind == "charger":
            continue
        if consumer.kind == "converter":
            source = by_voltage[consumer.owner]
            behind = [c for c in network.consumers if c.kind == "load" and c.nominal_v == source.nominal_v]
            amps *= sum(c.amps_a for c in behind) / source.limit_a
        devices.append(Load(f"{consumer.owner} in", consumer.plus, consumer.minus, "current", amps))
    wires = {edge.id: (edge.start, edge.end) for edge in edges}
    ohms = {edge.id: resistances.of(edge) for edge in edges}
    ((volts, _),) = ngspice_points([(wires, ohms, devices)])
    compared = 0
    for consumer in network.consumers:
        if consumer.plus in volts and consumer.minus in volts and consumer.kind != "charger":
            theirs = volts[consumer.plus] - volts[consumer.minus]
            ours = solution.volts[consumer.plus] - solution.volts[consumer.minus]
            assert ours == pytest.approx(theirs, abs=1e-3), consumer.owner
            compared += 1
    assert compared >= len(system.loads)


def test_a_converter_takes_what_its_output_needs(vans):
    system, network, _, resistances = vans["heron"]
    solution = solve(system, network, resistances, SizingState.SUPPLY)
    out = sum(c.amps_a for c in network.consumers if c.kind == "load" and c.nominal_v == 12)
    assert solution.amps["feed-12"] == pytest.approx(out, rel=1e-6)
    # Power in is power out by efficiency, at nominal voltages.
    assert solution.amps["converter-in"] == pytest.approx(12 * out / 0.92 / 24, rel=1e-6)
    assert solution.volts["converter.out"] - solution.volts["converter.-"] == pytest.approx(12, abs=0.02)


PARALLEL = {
    "van": {"name": "T", "nominal": "12 V", "size": {"length": "5 m", "width": "2 m", "driver": "left"}},
    "workshop": {"name": "W"},
    "places": {"box": {"label": "box", "at": {"back": "1 m", "across": "1 m"}}},
    "equipment": {
        ident: {
            "kind": "battery",
            "name": ident,
            "place": "box",
            "chemistry": "AGM",
            "capacity": "100 Ah",
            "resistance": "4 mΩ",
        }
        for ident in ("one", "two")
    },
    "loads": {"heat": {"name": "heat", "place": "box", "current": "100 A"}},
}


def parallel(plus, minus):
    """Two batteries side by side; the load's cables end at the plus of one and the minus of one."""
    link = {"length": "0.5 m", "area": "16 mm²"}
    cables = [
        {"id": "link-plus", "from": "one.+", "to": "two.+", **link},
        {"id": "link-minus", "from": "one.-", "to": "two.-", **link},
        {"id": "load-plus", "from": f"{plus}.+", "to": "heat.+", "length": "1 m", "area": "35 mm²"},
        {"id": "load-minus", "from": "heat.-", "to": f"{minus}.-", "length": "1 m", "area": "35 mm²"},
    ]
    system = System.model_validate({**PARALLEL, "cables": cables})
    network = build(system)
    ohms = {"link-plus": 0.5e-3, "link-minus": 0.5e-3, "load-plus": 0.5e-3, "load-minus": 0.5e-3}
    return system, network, Resistances(system, ohms, {})


def test_parallel_batteries_fed_from_opposite_corners_share_alike():
    system, network, resistances = parallel("one", "two")
    solution = solve(system, network, resistances, SizingState.SUPPLY)
    assert solution.amps["load-plus"] == pytest.approx(100)
    assert abs(solution.amps["link-plus"]) == pytest.approx(50)
    assert abs(solution.amps["link-minus"]) == pytest.approx(50)


def test_parallel_batteries_fed_from_one_end_share_by_their_resistance():
    """Current divides inversely to resistance: 4 mΩ against 4 + 0.5 + 0.5 mΩ."""
    system, network, resistances = parallel("one", "one")
    solution = solve(system, network, resistances, SizingState.SUPPLY)
    assert abs(solution.amps["link-plus"]) == pytest.approx(100 * 4 / (4 + 5))
