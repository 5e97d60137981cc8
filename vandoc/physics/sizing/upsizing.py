"""Larger cables where a little more copper reduces voltage drop the most."""

import heapq
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from math import fsum

from vandoc.ground.calc.conductor import STANDARD_AREAS_MM2
from vandoc.physics.network.graph import Conductor
from vandoc.physics.sizing.results import Drop

ENDS_M = 1.0  # vandoc's own value: extra cost of the cable ends at a larger size, as metres of cable


@dataclass(frozen=True)
class CableGroup:
    """Open cables that share one size: the supply and return of a circuit, or one cable alone.

    Attributes
    ----------
    ids : tuple of str
    length_m : float
        Of all together. [m]
    returns : tuple of str
        Those that may be larger than the others, where terminals keep the others small.
    """

    ids: tuple[str, ...]
    length_m: float
    returns: tuple[str, ...] = ()

    @classmethod
    def of(cls, cables: Sequence[Conductor]) -> "CableGroup":
        """Return the group of these cables."""
        returns = tuple(cable.id for cable in cables if cable.role == "return")
        return cls(tuple(cable.id for cable in cables), fsum(cable.length_m for cable in cables), returns)


def upsize(
    drops: Iterable[Drop],
    bundles: Iterable[CableGroup],
    areas: Mapping[str, float],
    ohm_of: Callable[[str, float], float],
    largest: Mapping[str, float],
    standard: Sequence[float] = STANDARD_AREAS_MM2,
) -> dict[str, float]:
    """Return larger sizes that bring every drop within its limit with little copper.

    One size at a time, the group is chosen that removes most excess voltage for each mm²·m of copper, its
    ends counted as a metre. Currents are taken as they are: loads of constant current do not change with the
    cable. Nothing grows for a drop that the largest sizes would leave too large, unless only the terminals
    keep a cable small: it then grows as far as they allow.

    Parameters
    ----------
    drops : iterable of Drop
        Of all circuits; their steps name the cables that they share.
    bundles : iterable of CableGroup
    areas : mapping
        The present size of each open cable. [mm²]
    ohm_of : callable
        Resistance of a cable at a size: (id, mm²) to ohm.
    largest : mapping
        The largest size that fits the terminals of each open cable. [mm²]
    standard : sequence of float
        The sizes to choose from, the smallest first. [mm²]

    Returns
    -------
    dict
        Cable id to its new size, enlarged cables only.
    """
    bundles = tuple(bundles)
    sizes = dict(areas)
    thickest = standard[-1]
    copper = {i: ohm_of(i, sizes[i]) - ohm_of(i, thickest) for b in bundles for i in b.ids}
    most = {i: ohm_of(i, sizes[i]) - ohm_of(i, max(sizes[i], largest[i])) for b in bundles for i in b.ids}
    excess: dict[str, float] = {}
    served: dict[str, dict[str, float]] = {}  # by cable, the current to each owner
    for drop in drops:
        over = drop.supply_v + drop.return_v - drop.limit.percent / 100 * drop.nominal_v
        possible = fsum(current * most.get(edge_id, 0.0) for edge_id, current, _ in drop.steps)
        unlimited = fsum(current * copper.get(edge_id, 0.0) for edge_id, current, _ in drop.steps)
        if 0 < over <= unlimited:
            excess[drop.owner] = min(over, possible)
            for edge_id, current, _ in drop.steps:
                served.setdefault(edge_id, {})[drop.owner] = current

    def next_size(bundle: CableGroup) -> _Step | None:
        """Return the next larger size of a group, and its benefit."""
        area = max(sizes[ident] for ident in bundle.ids)
        larger = next((a for a in standard if a > area + 1e-6), None)
        fit = tuple(ident for ident in bundle.ids if larger and larger <= largest[ident] + 1e-6)
        if larger is None or not fit or (fit != bundle.ids and fit != bundle.returns):
            return None
        saved: dict[str, float] = {}
        for ident in fit:
            ohm = ohm_of(ident, sizes[ident]) - ohm_of(ident, larger)
            for owner, current in served.get(ident, {}).items():
                saved[owner] = saved.get(owner, 0.0) + ohm * current
        part = len(fit) / len(bundle.ids)
        return _Step(fit, larger, (larger - area) * (bundle.length_m * part + ENDS_M), saved)

    def merit(step: _Step) -> float:
        return fsum(min(saved, excess[o]) for o, saved in step.saved.items() if excess[o] > 0) / step.cost

    steps = {number: step for number, bundle in enumerate(bundles) if (step := next_size(bundle))}
    heap = [(-merit(step), number) for number, step in steps.items()]
    heapq.heapify(heap)
    over_owners = len(excess)
    grown: dict[str, float] = {}
    while over_owners and heap:
        known, number = heapq.heappop(heap)
        now = merit(steps[number])
        if now <= 0:
            continue
        if -now != known:  # savings by other groups can only reduce its benefit
            heapq.heappush(heap, (-now, number))
            continue
        step = steps[number]
        sizes.update(dict.fromkeys(step.ids, step.area_mm2))
        grown.update(dict.fromkeys(step.ids, step.area_mm2))
        for owner, volts in step.saved.items():
            was_over = excess[owner] > 0
            excess[owner] -= volts
            over_owners -= was_over and excess[owner] <= 0
        following = next_size(bundles[number])
        if following:
            steps[number] = following
            heapq.heappush(heap, (-merit(following), number))
    return grown


@dataclass(frozen=True)
class _Step:
    """The next larger size of cables of a group, its copper cost, and the voltage saved for each owner."""

    ids: tuple[str, ...]
    area_mm2: float
    cost: float
    saved: dict[str, float]
