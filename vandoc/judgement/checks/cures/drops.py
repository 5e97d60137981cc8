"""Larger cables that reduce a voltage drop, one or two on a path."""

from collections.abc import Iterator, Mapping, Sequence
from functools import partial
from itertools import combinations
from math import fsum

from vandoc.analysis import Van
from vandoc.ground.calc.conductor import resistance_per_metre
from vandoc.judgement.checks.change import Change
from vandoc.judgement.checks.cures.sizes import first_rungs, thicker
from vandoc.judgement.checks.rule import Breach
from vandoc.physics import limits
from vandoc.physics.sizing import SizedConductor


def less_lost(van: Van, breach: Breach) -> Iterator[Change]:
    """Yield larger cables on the path with too much voltage drop, as large as its currents require."""
    drop = van.sizing.drops.get(breach.subject)
    if drop is not None:
        excess = drop.supply_v + drop.return_v - drop.limit.percent / 100 * drop.nominal_v
        amps = {edge_id: current for edge_id, current, _ in drop.steps}
        for edge_id in amps:
            sized = van.sizing.conductors.get(edge_id)
            if excess <= 0 or sized is None or sized.conductor.vehicle:
                continue
            larger = limits.larger_cables(van.system, sized.area_mm2)
            for area, steps in first_rungs(
                larger, partial(_saves, excess, _with_return(van, sized, amps), amps)
            ):
                yield thicker(sized, area, steps)
        if excess > 0:
            yield from _less_lost_in_two(van, excess, amps)


def _less_lost_in_two(van: Van, excess_v: float, amps: dict[str, float]) -> Iterator[Change]:
    """Yield two cables on one path that together reduce the drop enough, each larger by as many sizes."""
    named = [van.sizing.conductors[ident] for ident in amps if ident in van.sizing.conductors]
    cables = [sized for sized in named if not sized.conductor.vehicle]
    together = {sized.conductor.id: _with_return(van, sized, amps) for sized in cables}
    for one, other in combinations(cables, 2):
        if one.conductor.circuit == other.conductor.circuit and one.conductor.role != other.conductor.role:
            continue  # supply and return of a circuit change together
        ladders = [limits.larger_cables(van.system, sized.area_mm2) for sized in (one, other)]
        for steps, areas in enumerate(zip(*ladders, strict=False), start=1):
            pair = tuple(zip((one, other), areas, strict=True))
            if fsum(_saved(together[sized.conductor.id], amps, area) for sized, area in pair) >= excess_v:
                first, second = (thicker(sized, area, steps) for sized, area in pair)
                yield first.together_with(second)
                break


def _saves(
    excess_v: float, along: Sequence[SizedConductor], amps: Mapping[str, float], area_mm2: float
) -> bool:
    """Whether cables of another cross-section reduce the drop by that much at unchanged currents."""
    return _saved(along, amps, area_mm2) >= excess_v - 1e-9


def _saved(along: Sequence[SizedConductor], amps: Mapping[str, float], area_mm2: float) -> float:
    return fsum(amps[one.conductor.id] * (one.ohm - _ohm(one, area_mm2)) for one in along)


def _ohm(sized: SizedConductor, area_mm2: float) -> float:
    per_metre = resistance_per_metre(area_mm2, sized.temperature_c)
    return per_metre * sized.conductor.length_m


def _with_return(van: Van, sized: SizedConductor, amps: dict[str, float]) -> list[SizedConductor]:
    """Return the cables that change together: a return without a size of its own follows its supply."""
    conductor = sized.conductor
    along = (van.sizing.conductors.get(ident) for ident in amps) if conductor.role == "supply" else ()
    backs = [
        other
        for other in along
        if other is not None
        and (other.conductor.circuit, other.conductor.leg) == (conductor.circuit, conductor.leg)
        and other.conductor.role == "return"
        and abs(other.area_mm2 - sized.area_mm2) < 1e-6
    ]
    return [sized, *backs]
