"""Solved networks against a general-purpose circuit simulator, ngspice (Debian)."""

from collections.abc import Callable, Sequence
from pathlib import Path
from random import Random

import pytest

from vandoc.analysis import Van
from vandoc.ground.calc.devices import Battery, Device, Inlet, Load, Supply
from vandoc.ground.calc.operating_point import NoOperatingPoint, OperatingNet, OperatingPoint
from vandoc.physics.network.operating import SolvedState
from vandoc.physics.network.states import OperatingState, VanInState
from vandoc.reading.loader import load

Points = Callable[[Sequence[object]], list[tuple[dict[str, float], dict[str, float]]]]

VOLTS = 1e-3
AMPS = 1e-3  # of the current
LEAST_A = 1e-5  # an ammeter in ngspice holds no better than this where 100 A pass nearby


def random_net(seed: int) -> tuple[dict[str, tuple[str, str]], dict[str, float], list[Device]]:
    """Two rails with parallel ways and rings, batteries, supplies and loads of all kinds between them."""
    pick = Random(seed)
    count = pick.randint(3, 14)
    wires: dict[str, tuple[str, str]] = {}
    ohms: dict[str, float] = {}

    def wire(a: str, b: str) -> None:
        name = f"w{len(wires)}"
        wires[name] = (a, b) if pick.random() < 0.5 else (b, a)
        ohms[name] = round(10 ** pick.uniform(-4, -1.3), 6)

    for rail in "pm":
        for i in range(1, count):
            wire(f"{rail}{i}", f"{rail}{pick.randrange(i)}")
        for _ in range(pick.randint(0, count // 2)):
            a, b = pick.sample(range(count), 2)
            wire(f"{rail}{a}", f"{rail}{b}")
    devices: list[Device] = []
    for number in range(pick.randint(1, 3)):
        node = pick.randrange(count)
        volts, ohm = round(pick.uniform(12.0, 13.4), 3), round(10 ** pick.uniform(-3, -1.8), 6)
        devices.append(Battery(f"battery{number}", f"p{node}", f"m{node}", volts, ohm))
    for number in range(pick.randint(0, 3)):
        node = pick.randrange(count)
        volts, limit = round(pick.uniform(13.5, 14.6), 3), round(pick.uniform(5, 60), 2)
        inlet = None
        if pick.random() < 0.5:
            start = pick.randrange(count)
            most = None if pick.random() < 0.5 else round(pick.uniform(2, 40), 2)
            inlet = Inlet(f"inlet{number}", f"p{start}", f"m{start}", 0.9, most)
        devices.append(
            Supply(
                f"supply{number}",
                f"p{node}",
                f"m{node}",
                volts,
                round(pick.uniform(1e-3, 2e-2), 5),
                limit,
                inlet,
            )
        )
    for number in range(pick.randint(1, 12)):
        plus, minus = pick.randrange(count), pick.randrange(count)
        behaves = pick.choice(["power", "power", "current", "resistance"])
        amount = {
            "power": pick.uniform(1, 150),
            "current": pick.uniform(0.01, 12),
            "resistance": pick.uniform(0.5, 60),
        }
        devices.append(Load(f"load{number}", f"p{plus}", f"m{minus}", behaves, round(amount[behaves], 3)))
    return wires, ohms, devices


def supply_is_lawful(supply: Supply, volts: float, amps: float) -> bool:
    """Whether a supply holds its voltage, or gives its limit below it, or nothing above it."""
    held = supply.volts - amps * supply.ohm
    if supply.inlet is None or supply.inlet.limit_a is None:
        full = abs(amps - supply.limit_a) < 1e-4 * supply.limit_a and volts <= held + 1e-4
    else:
        full = amps < supply.limit_a * 1.0001 and volts <= held + 1e-4
    return (abs(amps) < 1e-4 and volts >= supply.volts - 1e-4) or full or abs(volts - held) < 1e-4


def compare(
    ours: OperatingPoint | SolvedState,
    devices: Sequence[Device],
    volts: dict[str, float],
    amps: dict[str, float],
) -> tuple[float, float]:
    """Return the largest deviation of a voltage [V] and of a current [of its value], after asserting both."""
    most_v = most_a = 0.0
    assert set(ours.volts) == set(volts)
    for node, value in volts.items():
        most_v = max(most_v, abs(ours.volts[node] - value))
        assert ours.volts[node] == pytest.approx(value, abs=VOLTS), node
    found = {**ours.amps, **{f"device {name}": value for name, value in ours.device_amps.items()}}
    assert set(amps) <= set(found)
    for name, value in amps.items():
        if abs(value) > LEAST_A / AMPS:
            most_a = max(most_a, abs(found[name] - value) / abs(value))
        assert found[name] == pytest.approx(value, rel=AMPS, abs=LEAST_A), name
    for device in devices:
        if isinstance(device, Supply) and f"device {device.name}" in amps:
            own = volts[device.plus] - volts[device.minus]
            assert supply_is_lawful(device, own, amps[f"device {device.name}"]), device
    return most_v, most_a


def test_200_random_networks_agree_with_ngspice(ngspice_points: Points) -> None:
    nets = [random_net(seed) for seed in range(205)]
    found = [OperatingNet(wires, devices).solve(ohms) for wires, ohms, devices in nets]
    solved = [n for n, point in enumerate(found) if isinstance(point, OperatingPoint)]
    points = [point if isinstance(point, OperatingPoint) else None for point in found]
    answers = ngspice_points([(*net, point) for net, point in zip(nets, points, strict=True)])
    worst_v = worst_a = 0.0
    for n in solved:
        deviation = compare(found[n], nets[n][2], *answers[n])
        worst_v, worst_a = max(worst_v, deviation[0]), max(worst_a, deviation[1])
    print(f"{len(solved)} nets, largest deviations {worst_v:.2e} V, {worst_a:.2e} of a current")
    assert len(solved) >= 200
    for n, point in enumerate(found):
        if isinstance(point, NoOperatingPoint):  # ngspice's loads stop at 6 V, so it finds one starving
            volts, _ = answers[n]
            devices = {device.name: device for device in nets[n][2]}
            inlets = {d.inlet.name: d.inlet for d in nets[n][2] if isinstance(d, Supply) and d.inlet}
            ends = [(devices | inlets)[name] for name in point.loads]
            assert min(volts[end.plus] - volts[end.minus] for end in ends) < 6.0


def test_every_demo_van_agrees_with_ngspice_in_every_state(ngspice_points: Points, demo_vans) -> None:
    names, nets, found = [], [], []
    for name, van in demo_vans.items():
        for state, solved in van.wiring.solve_all().items():
            assert isinstance(solved, SolvedState)
            scene = VanInState(van.system, van.network, state)
            wires = {edge.id: (edge.start, edge.end) for edge in van.network.edges() if scene.passes(edge)}
            names.append(f"{name} {state.value}")
            nets.append((wires, solved.ohms, solved.devices, solved))
            found.append(solved)
    worst_v = worst_a = 0.0
    for name, solved, answer in zip(names, found, ngspice_points(nets), strict=True):
        assert answer[0], name
        deviation = compare(solved, solved.devices, *answer)
        worst_v, worst_a = max(worst_v, deviation[0]), max(worst_a, deviation[1])
    print(f"{len(nets)} states, largest deviations {worst_v:.2e} V, {worst_a:.2e} of a current")
    assert len(nets) >= 2 * len(demo_vans) > 0


DRIVEN = Path(__file__).parents[1] / "vans/pairs/vans/driven.yml"


def wires_of(van: Van, scene: VanInState) -> dict[str, tuple[str, str]]:
    return {edge.id: (edge.start, edge.end) for edge in van.network.edges() if scene.passes(edge)}


def test_every_start_agrees_with_ngspice(ngspice_points: Points, demo_vans) -> None:
    names, nets, found = [], [], []
    for name, van in {**demo_vans, "driven": Van.of(load(DRIVEN))}.items():
        for start, solved in van.starts:
            assert isinstance(solved, SolvedState)
            wires = wires_of(van, VanInState(van.system, van.network, OperatingState.NIGHT, start=start))
            names.append(f"{name} {start.owner}")
            nets.append((wires, solved.ohms, solved.devices, solved))
            found.append((start, solved))
    worst_v = worst_a = 0.0
    for name, (start, solved), answer in zip(names, found, ngspice_points(nets), strict=True):
        assert answer[0], name
        drawn = solved.device_amps[start.owner]
        assert drawn >= start.amps_a * 0.999, name  # a power takes more at less voltage
        deviation = compare(solved, solved.devices, *answer)
        worst_v, worst_a = max(worst_v, deviation[0]), max(worst_a, deviation[1])
    print(f"{len(nets)} starts, largest deviations {worst_v:.2e} V, {worst_a:.2e} of a current")
    assert len(nets) >= 12


def test_converters_at_their_limit_agree_with_ngspice(ngspice_points: Points, tmp_path) -> None:
    """A 10 A converter feeds a resistance that would take 6 to 30 A; from 10 A on its voltage falls."""
    text = DRIVEN.read_text("utf-8")
    old = "current: 6 A, behaves: power"
    assert text.count(old) == 1
    nets, found, limited = [], [], 0
    for amps in (6, 9, 10, 11, 13, 16, 20, 30):
        path = tmp_path / f"{amps}.yml"
        path.write_text(text.replace(old, f"current: {amps} A, behaves: resistance"), "utf-8")
        van = Van.of(load(path))
        for state, solved in van.solved.items():
            wires = wires_of(van, VanInState(van.system, van.network, state))
            nets.append((wires, solved.ohms, solved.devices, solved))
            found.append((amps, state, solved))
            limited += solved.device_amps.get("converter", 0.0) > 9.99
    worst_v = worst_a = 0.0
    for (amps, state, solved), answer in zip(found, ngspice_points(nets), strict=True):
        assert answer[0], (amps, state)
        deviation = compare(solved, solved.devices, *answer)
        worst_v, worst_a = max(worst_v, deviation[0]), max(worst_a, deviation[1])
    print(f"{len(nets)} states, largest deviations {worst_v:.2e} V, {worst_a:.2e} of a current")
    assert limited >= 10
