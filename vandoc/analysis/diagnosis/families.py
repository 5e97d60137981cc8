"""Each fault solved at every size that matters, and the sizes at which it shows a symptom."""

from collections.abc import Callable, Iterator
from itertools import pairwise
from math import ceil, exp, floor, log

from vandoc.analysis.diagnosis.faults import Fault
from vandoc.analysis.diagnosis.injection import FaultBench
from vandoc.analysis.diagnosis.trial import (
    NOTHING_A,
    OPEN_OHM,
    IntermediateFault,
    NetworkChange,
    Point,
    SolvedTrial,
    Trial,
)

LOG_STEP = 0.04  # between the fractions to which sizes are rounded
STEP_RATIO = 1.05  # between the solved sizes on both sides of a step
SIZES_OHM = (0.003, 0.01, 0.03, 0.1, 0.3, 1.0, 3.0, 10.0)


class Families:
    """The faults of one van, each solved once in every trial in which it is needed.

    Parameters
    ----------
    bench : FaultBench
        The van on which faults are tried.
    """

    def __init__(self, bench: FaultBench) -> None:
        self.bench = bench
        self._solved: dict[tuple[Trial, str | None, NetworkChange | float], SolvedTrial] = {}
        self._known: dict[tuple[Trial, str], tuple[SolvedTrial, ...]] = {}

    def of(self, fault: Fault, trial: Trial) -> tuple[SolvedTrial, ...]:
        """Return the solutions of a fault from its smallest to its largest size; one if it has no size.

        Voltages and currents between two neighbouring sizes are interpolated linearly. In a network of
        resistances this is exact; if chargers or converters work, the sizes are close enough for it.
        """
        key = trial, fault.cause.id
        if key not in self._known:
            self._known[key] = self._family(fault, trial)
        return self._known[key]

    def beyond(self, fault: Fault, trial: Trial, ohm: float) -> tuple[SolvedTrial, ...]:
        """Return the solutions of a fault from a given size to its largest.

        Parameters
        ----------
        fault : Fault
        trial : Trial
        ohm : float
            The resistance that it adds at least. [Ω]
        """
        family = self.of(fault, trial)
        if fault.edge is None or len(family) == 1:
            return family
        larger = [point for point in family if point.added_ohm(fault.edge) > ohm]
        return (self._at(trial, fault.edge, ohm), *larger)

    def size_ohm(self, edge: str, point: Point) -> float:
        """Return the resistance that a fault adds at a point. [Ω]

        Between two solved sizes it is the voltage across the edge divided by the current, less its own.
        """
        if isinstance(point, SolvedTrial):
            return point.added_ohm(edge)
        ends = self.bench.network.edge(edge)
        amps, fall = abs(point.amps_in(edge)), abs(point.across_v(ends.start, ends.end))
        found = fall / amps - self.bench.ohms[edge] if amps > fall / OPEN_OHM else OPEN_OHM
        return min(max(found, self.size_ohm(edge, point.small)), point.large.added_ohm(edge))

    def _family(self, fault: Fault, trial: Trial) -> tuple[SolvedTrial, ...]:
        healthy = self.bench.healthy(trial)
        edge = fault.edge
        if edge is None or fault.change.closed:
            idle = fault.change.without and fault.change.without.isdisjoint(healthy.device_amps)
            idle = idle or (edge is not None and self.bench.passes(trial, edge))
            return (healthy,) if idle else (self.bench.solve(trial, fault.change),)
        if abs(healthy.amps_in(edge)) < NOTHING_A:
            return (healthy,)
        opened = self._at(trial, edge, OPEN_OHM)
        if not fault.sized:
            return (opened,)
        if not self.bench.has_inlets(trial):
            return (healthy, opened)
        sizes = [0.0, *SIZES_OHM]
        steps = [healthy]
        for ohm in SIZES_OHM:
            steps.append(self._at(trial, edge, ohm, steps[-1].stopped))
        return (*self._refined(trial, edge, sizes, steps), opened)

    def _refined(
        self, trial: Trial, edge: str, sizes: list[float], steps: list[SolvedTrial]
    ) -> Iterator[SolvedTrial]:
        """The solutions with both sides of each step at which a charger or converter stops, by bisection."""
        for (low, before), (high, after) in pairwise(zip(sizes, steps, strict=True)):
            yield before
            while before.stopped != after.stopped and high > STEP_RATIO * max(low, SIZES_OHM[0] / 10):
                middle = (max(low, SIZES_OHM[0] / 10) * high) ** 0.5
                found = self._at(trial, edge, middle, before.stopped)
                if found.stopped == before.stopped:
                    low, before = middle, found
                else:
                    high, after = middle, found
            if before.stopped != after.stopped:
                yield before
                yield after
        yield steps[-1]

    def _at(self, trial: Trial, edge: str, ohm: float, stopped: frozenset[str] = frozenset()) -> SolvedTrial:
        key = trial, edge, ohm
        if key not in self._solved:
            self._solved[key] = self.bench.solve(trial, NetworkChange({edge: ohm}), stopped)
        return self._solved[key]


def showing(
    family: tuple[SolvedTrial, ...], quantity: Callable[[Point], float], low: float, high: float
) -> tuple[Point, ...]:
    """Return the ends of the ranges of size in which a quantity is `low` or more and less than `high`.

    Readings at both ends of a range bound those between. In a linear network the ends are moved outwards
    to one of few fractions, so that similar symptoms share their points.
    """
    values = [quantity(point) for point in family]
    found: list[Point] = [p for p, value in zip(family, values, strict=True) if low <= value < high]
    for small, large, one, other in zip(family, family[1:], values, values[1:], strict=False):
        for limit in (low, high):
            if min(one, other) < limit < max(one, other):
                part = (limit - one) / (other - one)
                if len(family) == 2:
                    part = _outward(part, larger=(limit == high) == (one < other))
                found.append(IntermediateFault(small, large, part))
    return tuple(found)


def _outward(part: float, larger: bool) -> float:
    """The next larger or smaller fraction of a geometric series."""
    steps = log(part) / LOG_STEP
    return exp((ceil(steps) if larger else floor(steps)) * LOG_STEP)
