"""One choice of cable sizes and fuse ratings for a van, and what follows from it."""

from collections.abc import Mapping
from functools import cache
from typing import Literal

from vandoc.calc import capacity as cap
from vandoc.calc.conductor import operating_temperature_c, resistance_per_metre
from vandoc.calc.drop import drop_limit
from vandoc.calc.fuse import standard_ratings
from vandoc.model.system import System
from vandoc.network.currents import Resistances, Solution, State, solve
from vandoc.network.graph import Conductor, Consumer, Edge, FuseLink, Network, Source
from vandoc.sizing.results import Drop


class Trial:
    """Sizes and ratings, the currents and temperatures they give, and the voltage that is lost.

    Sizes that the file leaves open start at 10 mm², ratings at the largest of their type; whoever proposes
    changes `areas` and `ratings` and solves again.
    """

    def __init__(self, system: System, network: Network) -> None:
        self.system = system
        self.network = network
        self.bases: tuple[str, ...] = (system.van.basis,) if system.van.basis else cap.BASES
        self.areas = {c.id: c.area_mm2 or 10.0 for c in network.conductors.values()}
        self.ratings = {f.id: f.rating_a or standard_ratings(f.family)[-1] for f in network.fuses.values()}
        self._ambients = {c.id: self._hottest_c(c) for c in network.conductors.values()}
        self.temperatures = dict(self._ambients)
        self.states: dict[State, Solution] = {}
        self.loads = {c.owner: c for c in network.consumers if c.kind == "load"}
        self._ways = _Ways(network)

    def ambient_c(self, conductor: Conductor) -> float:
        """Return the hottest of a cable's places. [°C]"""
        return self._ambients[conductor.id]

    def _hottest_c(self, conductor: Conductor) -> float:
        return max((self.system.places[place].hottest_c for place in conductor.places), default=30.0)

    def resistances(self) -> Resistances:
        """Return the resistance of every edge at the temperatures of the last solution."""
        ohms = {
            c.id: resistance_per_metre(self.areas[c.id], self.temperatures[c.id]) * c.length_m
            for c in self.network.conductors.values()
        }
        return Resistances(self.system, ohms, self.ratings)

    def solve(self) -> None:
        """Solve at the temperature of the solution before, then warm the copper to its current."""
        resistances = self.resistances()
        self.states = {
            state: solve(self.system, self.network, resistances, state)
            for state in (State.SUPPLY, State.CHARGE)
        }
        for conductor in self.network.conductors.values():
            found = self.capacities(conductor, self.areas[conductor.id])
            ambient = self.ambient_c(conductor)
            if found and found[0].amps_a > 0:
                amps = min(self.design_a(conductor), found[0].amps_a)
                self.temperatures[conductor.id] = operating_temperature_c(
                    ambient, max(conductor.insulation_c, ambient), amps, found[0].amps_a
                )
            else:
                self.temperatures[conductor.id] = max(conductor.insulation_c, ambient)

    def design_a(self, edge: Edge) -> float:
        """Return the most that an edge carries, of all states. [A]"""
        return max(abs(solution.amps[edge.id]) for solution in self.states.values())

    def capacities(self, conductor: Conductor, area_mm2: float) -> tuple[cap.Capacity, ...]:
        """Return what a cable could carry with a cross-section, by each basis that knows, lowest first."""
        ambient = self.ambient_c(conductor)
        return _capacities(area_mm2, conductor.insulation_c, ambient, conductor.bunched, self.bases)

    def continuous_a(self, edge: Edge) -> float:
        """Return the lasting part of a current: loads that never run for long are left out. [A]"""
        short = sum(
            consumer.amps_a
            for owner, consumer in self.loads.items()
            if not self.system.loads[owner].continuous and edge.id in self._ways.feeding(consumer)
        )
        supply = abs(self.states[State.SUPPLY].amps[edge.id]) - short
        return max(supply, abs(self.states[State.CHARGE].amps[edge.id]), 0.0)

    def start_a(self, link: FuseLink) -> float:
        """Return what runs through a fuse while the load behind it with the hardest start is starting. [A]"""
        extra = 0.0
        for owner, consumer in self.loads.items():
            load = self.system.loads[owner]
            if load.start_a and link.id in self._ways.feeding(consumer):
                extra = max(extra, load.start_a * load.count - consumer.amps_a)
        return abs(self.states[State.SUPPLY].amps[link.id]) + extra if extra else 0.0

    def volts(self, consumer: Consumer) -> float | None:
        """Return the voltage at a consumer, or None when no source reaches it. [V]"""
        for solution in self.states.values():
            if consumer.plus in solution.volts and consumer.minus in solution.volts:
                return solution.volts[consumer.plus] - solution.volts[consumer.minus]
        return None

    def drops(self) -> dict[str, Drop]:
        """Return the voltage lost on the way to each load, inverter, converter and from each charger."""
        resistances = self.resistances()
        drops = {}
        for consumer in self.network.consumers:
            if consumer.kind in ("load", "inverter", "converter"):
                kind = self._kind(consumer)
                drop = self._drop(consumer.owner, kind, consumer, State.SUPPLY, resistances)
                if drop is not None:
                    drops[consumer.owner] = drop
        for source in self.network.sources:
            if source.kind == "charger":
                drop = self._drop(source.owner, "charging", source, State.CHARGE, resistances)
                if drop is not None:
                    drops[source.owner] = drop
        return drops

    def _kind(self, consumer: Consumer) -> str:
        if consumer.kind == "load":
            return self.system.loads[consumer.owner].importance
        return "main" if consumer.kind == "converter" else "general"

    def _drop(
        self, owner: str, kind: str, thing: Consumer | Source, state: State, resistances: Resistances
    ) -> Drop | None:
        solution = self.states[state]
        supply = self._ways.from_plus(thing)
        back = self._ways.to_minus(thing)
        if not supply or not back or thing.plus not in solution.volts:
            return None
        steps = tuple((edge.id, abs(solution.amps[edge.id]), resistances.of(edge)) for edge in supply + back)
        there = sum(amps * ohm for _, amps, ohm in steps[: len(supply)])
        returned = sum(amps * ohm for _, amps, ohm in steps[len(supply) :])
        limit = drop_limit(kind, self.system.van.basis)
        return Drop(owner, kind, there, returned, thing.nominal_v, limit, steps)


class _Ways:
    """The shortest ways between batteries or converters and what they serve; these never change."""

    def __init__(self, network: Network) -> None:
        self._network = network
        self._found: dict[tuple[str, str], tuple[Edge, ...]] = {}

    def _way(self, goal: str, which: Literal["plus", "minus"]) -> tuple[Edge, ...]:
        if (goal, which) not in self._found:
            sources = [s for s in self._network.sources if s.kind in ("battery", "converter")]
            posts = {getattr(source, which) for source in sources} - {goal}
            self._found[goal, which] = tuple(self._network.path(posts, goal) or ())
        return self._found[goal, which]

    def from_plus(self, thing: Consumer | Source) -> tuple[Edge, ...]:
        return self._way(thing.plus, "plus")

    def to_minus(self, thing: Consumer | Source) -> tuple[Edge, ...]:
        return self._way(thing.minus, "minus")

    def feeding(self, consumer: Consumer) -> frozenset[str]:
        return frozenset(edge.id for edge in self.from_plus(consumer))


@cache
def _capacities(
    area_mm2: float, insulation_c: float, ambient_c: float, bunched: int, bases: tuple[str, ...]
) -> tuple[cap.Capacity, ...]:
    found = []
    for basis in bases:
        try:
            found.append(cap.capacity(area_mm2, insulation_c, ambient_c, bunched, basis))
        except ValueError:  # this basis has no figure for such a size or insulation
            continue
    return tuple(sorted(found, key=lambda capacity: capacity.amps_a))


def within_limits(drops: Mapping[str, Drop]) -> bool:
    """Whether nothing loses more voltage than it may."""
    return all(drop.percent <= drop.limit.percent for drop in drops.values())
