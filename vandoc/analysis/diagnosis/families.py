"""A fault of every size it may have, solved; and the sizes of it that show a symptom."""

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

STEP = 0.04
LEAP = 1.05  # how near the sizes on both sides of a leap are
SIZES_OHM = (0.003, 0.01, 0.03, 0.1, 0.3, 1.0, 3.0, 10.0)


class Families:
    """The faults of one van, each solved once in each trial that is asked for.

    Parameters
    ----------
    bench : FaultBench
    """

    def __init__(self, bench: FaultBench) -> None:
        self.bench = bench
        self._solved: dict[tuple[Trial, str | None, NetworkChange | float], SolvedTrial] = {}
        self._known: dict[tuple[Trial, str], tuple[SolvedTrial, ...]] = {}

    def of(self, fault: Fault, trial: Trial) -> tuple[SolvedTrial, ...]:
        """Return a fault from its smallest to its largest size; one that has no size is one.

        Between two that follow each other everything is taken to be linear, as it is in a network of
        resistances; where chargers and converters work the sizes lie close enough for that.
        """
        key = trial, fault.cause.id
        if key not in self._known:
            self._known[key] = self._family(fault, trial)
        return self._known[key]

    def beyond(self, fault: Fault, trial: Trial, ohm: float) -> tuple[SolvedTrial, ...]:
        """Return a fault from a size in ohm to its largest size."""
        family = self.of(fault, trial)
        if fault.edge is None or len(family) == 1:
            return family
        larger = [point for point in family if point.added_ohm(fault.edge) > ohm]
        return (self._at(trial, fault.edge, ohm), *larger)

    def size_ohm(self, edge: str, point: Point) -> float:
        """Return what a fault adds at a point; between two, all that falls across it by what flows. [Ω]"""
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
        """Where a charger or converter gives up all leaps: both sides of the leap, found by halving."""
        for (low, before), (high, after) in pairwise(zip(sizes, steps, strict=True)):
            yield before
            while before.stopped != after.stopped and high > LEAP * max(low, SIZES_OHM[0] / 10):
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
    """Return the sizes of a fault between which a quantity lies from `low` to below `high`.

    Both ends of each stretch are among them, so that what is read there bounds what is read between. In a
    linear network they are moved outward to one of few sizes, so that like symptoms look at the same.
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
    """The next of few parts that follow each other by a small ratio."""
    steps = log(part) / STEP
    return exp((ceil(steps) if larger else floor(steps)) * STEP)
