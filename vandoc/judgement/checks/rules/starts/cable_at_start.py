"""A cable is not overheated while a device starts."""

from collections.abc import Iterator

from vandoc.analysis import Van, exceeds
from vandoc.ground.calc.protection import adiabatic_k_between, adiabatic_time_s
from vandoc.judgement.checks.amount import Amount
from vandoc.judgement.checks.cures import sizes
from vandoc.judgement.checks.rule import Breach, fail, rule
from vandoc.judgement.checks.shared.capacity import is_too_hot, ours
from vandoc.physics.network.operating import SolvedState


@rule(fail("cable-hot-at-start", sizes.next_thicker))
def cable_at_start(van: Van) -> Iterator[Breach]:
    """A cable is not overheated while a device starts."""
    for sized in ours(van):
        conductor = sized.conductor
        if conductor.signal or not sized.capacities or is_too_hot(sized):
            continue
        if exceeds(sized.design_a, sized.capacity_a):
            continue  # said of its capacity
        passing = [
            (abs(found.amps[conductor.id]), start)
            for start, found in van.starts
            if isinstance(found, SolvedState) and start.stated
        ]
        for amps, start in sorted(passing, key=lambda pair: -pair[0]):
            if not exceeds(amps, sized.capacity_a):
                break
            k = adiabatic_k_between(sized.ambient_c, conductor.insulation_c)
            permitted_s = adiabatic_time_s(sized.area_mm2, k, amps)
            if exceeds(start.time_s, permitted_s):
                yield Breach(
                    "cable-hot-at-start",
                    van.subject(conductor),
                    conductor.trail,
                    {
                        "cable": conductor.id,
                        "size": sized.size,
                        "amps": Amount(amps, "A"),
                        "name": van.name(start.owner),
                        "capacity": Amount(sized.capacity_a, "A"),
                    },
                    Amount(start.time_s, "s"),
                    Amount(permitted_s, "s"),
                )
                break
