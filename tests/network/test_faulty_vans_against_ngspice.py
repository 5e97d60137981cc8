"""Vans with a fault put in, against a general-purpose circuit simulator, ngspice (Debian)."""

from collections.abc import Callable, Sequence
from random import Random

from tests.network.test_against_ngspice import DRIVEN, compare
from vandoc.analysis import Van
from vandoc.analysis.diagnosis.faults import faults
from vandoc.analysis.diagnosis.injection import FaultBench
from vandoc.analysis.diagnosis.named_loads import NamedLoads
from vandoc.analysis.diagnosis.trial import Activity, NetworkChange, Trial
from vandoc.ground.calc.operating_point import OperatingPoint
from vandoc.reading.loader import load

Points = Callable[[Sequence[object]], list[tuple[dict[str, float], dict[str, float]]]]

EACH = 40  # faults of each van
MOST_OHM = 30.0  # an open circuit has no place in a simulator that leaks a little everywhere


def test_a_sample_of_faults_in_every_demo_van_agrees_with_ngspice(ngspice_points: Points, demo_vans) -> None:
    nets, found = [], []
    for name, van in {**demo_vans, "driven": Van.of(load(DRIVEN))}.items():
        bench = FaultBench(van.system, van.network, van.wiring)
        pick, named = Random(name), NamedLoads(van.system, van.network, bench.ratings_a)
        lamps = {named.measured(named.alone(pick.choice(list(van.system.loads))))}  # a proof lamp draws
        every = faults(van.system, van.network)
        for fault in (*pick.sample(every, EACH), *(fault for fault in every if fault.change.closed)):
            change = fault.change
            if change.ohms:
                change = NetworkChange({edge: MOST_OHM ** pick.uniform(-1.5, 1) for edge in change.ohms})
            off = [Trial(Activity.USE, (contact,)) for contact in change.closed]
            for trial in (*bench.trials(), *lamps, *off):
                solved = bench.solve(trial, change)
                if solved.stopped != change.without:
                    continue  # what else stopped is decided by our rules, not by the network
                laid = bench.lay_out(trial, solved.stopped, change.without, change)
                ohms = {edge: bench.ohms[edge] + change.ohms.get(edge, 0.0) for edge in laid.wires}
                point = laid.net.solve(ohms)
                assert isinstance(point, OperatingPoint)
                assert point.volts == solved.volts
                nets.append((laid.wires, ohms, laid.devices, point))
                found.append((f"{name} {trial} {fault.cause.id}", point, laid.devices))
    worst_v = worst_a = 0.0
    for (name, point, devices), answer in zip(found, ngspice_points(nets), strict=True):
        assert answer[0], name
        deviation = compare(point, devices, *answer)
        worst_v, worst_a = max(worst_v, deviation[0]), max(worst_a, deviation[1])
    print(f"{len(nets)} faulty vans, largest deviations {worst_v:.2e} V, {worst_a:.2e} of a current")
    assert len(nets) > 200
