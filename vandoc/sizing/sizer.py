"""`calc` applied to one van: what each cable and fuse must carry, what it can carry, and what is proposed.

What the file leaves open is chosen here: the smallest standard fuse, then the smallest standard cable that
carries it and keeps the voltage drop within its limit.
"""

from math import isinf
from typing import Literal

from vandoc.calc import capacity as cap
from vandoc.calc.battery import prospective_current_a
from vandoc.calc.conductor import STANDARD_AREAS_MM2, operating_temperature_c, resistance_per_metre
from vandoc.calc.drop import drop_limit
from vandoc.calc.fuse import CONTINUOUS_FRACTION, next_rating, standard_ratings
from vandoc.data import constant
from vandoc.model.system import System
from vandoc.network.currents import Resistances, Solution, State, fault_levels, solve
from vandoc.network.graph import Conductor, Consumer, Edge, FuseLink, Network, Source, owner_of
from vandoc.sizing.results import Decided, Drop, SizedConductor, SizedFuse, Sizing
from vandoc.sizing.widths import widths_at


def size(system: System, network: Network) -> Sizing:
    """Size a van.

    Returns
    -------
    Sizing
        `unfed` names consumers that no source reaches.
    """
    return _Sizer(system, network).run()


class _Sizer:
    def __init__(self, system: System, network: Network) -> None:
        self.system = system
        self.network = network
        self.bases: tuple[str, ...] = (system.van.basis,) if system.van.basis else cap.BASES
        self.areas = {c.id: c.area_mm2 or 10.0 for c in network.conductors.values()}
        self.decided: dict[str, Decided] = dict.fromkeys(self.areas, "given")
        self.ratings = {f.id: f.rating_a or standard_ratings(f.family)[-1] for f in network.fuses.values()}
        self.raised = dict.fromkeys(self.areas, 0.0)  # least size that the voltage drop asks for
        self.temperatures = {c.id: self._ambient(c) for c in network.conductors.values()}
        self.states: dict[State, Solution] = {}
        self.loads = {c.owner: c for c in network.consumers if c.kind == "load"}
        posts = self._battery_posts("plus")
        self.ways = {o: {edge.id for edge in self._way(c.plus, posts)} for o, c in self.loads.items()}
        self.open = [c for c in network.conductors.values() if c.area_mm2 is None]

    def run(self) -> Sizing:
        for _ in range(40):
            self._solve()
            before = (dict(self.areas), dict(self.ratings))
            self._choose_fuses()
            self._choose_conductors()
            if before != (self.areas, self.ratings):
                continue
            if not self._raise_for_drop():
                break
        conductors = {c.id: self._sized(c) for c in self.network.conductors.values()}
        return Sizing(
            conductors,
            self._sized_fuses(),
            self._drops(),
            self.states,
            tuple(c.owner for c in self.network.consumers if self._volts(c) is None),
        )

    def _ambient(self, conductor: Conductor) -> float:
        return max((self.system.places[place].hottest_c for place in conductor.places), default=30.0)

    def _resistances(self) -> Resistances:
        ohms = {
            c.id: resistance_per_metre(self.areas[c.id], self.temperatures[c.id]) * c.length_m
            for c in self.network.conductors.values()
        }
        return Resistances(self.system, ohms, self.ratings)

    def _solve(self) -> None:
        """Solve at the temperature of the round before, then warm the copper to its current."""
        resistances = self._resistances()
        self.states = {
            state: solve(self.system, self.network, resistances, state)
            for state in (State.SUPPLY, State.CHARGE)
        }
        for conductor in self.network.conductors.values():
            found = self._capacities(conductor, self.areas[conductor.id])
            ambient = self._ambient(conductor)
            if found and found[0].amps_a > 0:
                amps = min(self._design(conductor), found[0].amps_a)
                self.temperatures[conductor.id] = operating_temperature_c(
                    ambient, max(conductor.insulation_c, ambient), amps, found[0].amps_a
                )
            else:
                self.temperatures[conductor.id] = max(conductor.insulation_c, ambient)

    def _design(self, edge: Edge) -> float:
        return max(abs(solution.amps[edge.id]) for solution in self.states.values())

    def _capacities(self, conductor: Conductor, area_mm2: float) -> tuple[cap.Capacity, ...]:
        found = []
        for basis in self.bases:
            try:
                found.append(
                    cap.capacity(
                        area_mm2, conductor.insulation_c, self._ambient(conductor), conductor.bunched, basis
                    )
                )
            except ValueError:  # this basis has no figure for such a size or insulation
                continue
        return tuple(sorted(found, key=lambda capacity: capacity.amps_a))

    def _continuous(self, edge: Edge) -> float:
        """The lasting part of the current: loads that never run for long are left out."""
        short = sum(
            consumer.amps_a
            for owner, consumer in self.loads.items()
            if not self.system.loads[owner].continuous and edge.id in self.ways[owner]
        )
        supply = abs(self.states[State.SUPPLY].amps[edge.id]) - short
        return max(supply, abs(self.states[State.CHARGE].amps[edge.id]), 0.0)

    def _battery_posts(self, which: Literal["plus", "minus"]) -> set[str]:
        sources = [s for s in self.network.sources if s.kind in ("battery", "converter")]
        return {getattr(source, which) for source in sources}

    def _way(self, goal: str, starts: set[str]) -> list[Edge]:
        return self.network.path(starts, goal) or []

    def _start(self, link: FuseLink) -> float:
        """What runs through a fuse while the load behind it with the hardest start is starting."""
        extra = 0.0
        for owner, consumer in self.loads.items():
            load = self.system.loads[owner]
            if load.start_a and link.id in self.ways[owner]:
                extra = max(extra, load.start_a * load.count - consumer.amps_a)
        return abs(self.states[State.SUPPLY].amps[link.id]) + extra if extra else 0.0

    def _choose_fuses(self) -> None:
        for link in self.network.fuses.values():
            if link.rating_a is None:
                multiple = constant("start-up multiple").value
                lasting = self._continuous(link) / CONTINUOUS_FRACTION
                needed = max(lasting, self._design(link), self._start(link) / multiple)
                self.ratings[link.id] = next_rating(link.family, needed) or standard_ratings(link.family)[-1]

    def _needed(self, conductor: Conductor) -> float:
        """What a cable must carry: its current, and whatever its fuses let through before they open."""
        if conductor.signal:
            return 0.0
        needed = self._design(conductor)
        widths = widths_at(self.network, conductor, self.ratings)
        return max([needed, *(width for width in widths if not isinf(width))])

    def _choose_conductors(self) -> None:
        for conductor in self.open:
            if self.network.is_return(conductor):
                continue
            self._choose(conductor, self._needed(conductor), 0.0, "fuse and current")
        for conductor in self.open:
            if self.network.is_return(conductor):
                self._choose(
                    conductor, self._design(conductor), self._supply_area(conductor), "as its supply"
                )

    def _choose(self, conductor: Conductor, needed_a: float, least_mm2: float, why: Decided) -> None:
        least = constant("smallest separate conductor").value if conductor.length_m > 0.2 else 0.0
        floor = max(least, least_mm2, self.raised[conductor.id])
        for area in STANDARD_AREAS_MM2:
            found = self._capacities(conductor, area)
            if area < floor - 1e-6 or not found or found[0].amps_a < needed_a:
                continue
            self.areas[conductor.id] = area
            if area == self.raised[conductor.id]:
                why = "voltage drop"
            elif area == least and area > least_mm2:
                why = "smallest allowed"
            self.decided[conductor.id] = why
            return
        self.areas[conductor.id] = max(STANDARD_AREAS_MM2[-1], least_mm2)
        self.decided[conductor.id] = "none fits"

    def _supply_area(self, conductor: Conductor) -> float:
        """The largest supply cable of the pieces that this way back serves."""
        areas = [0.0]
        if conductor.circuit is not None:
            areas.append(self.areas.get(f"{conductor.circuit} supply", 0.0))
        owners = {owner_of(conductor.start), owner_of(conductor.end)}
        served = {s.owner for s in self.network.sources} | {c.owner for c in self.network.consumers}
        for other in self.network.conductors.values():
            ends = {owner_of(other.start), owner_of(other.end)}
            if ends & owners & served and not self.network.is_return(other) and not other.signal:
                areas.append(self.areas[other.id])
        return max(areas)

    def _raise_for_drop(self) -> bool:
        """Ask for one size more in the open cable that loses most, of the circuit that loses too much."""
        for drop in self._drops().values():
            if drop.percent <= drop.limit.percent:
                continue
            losses = {edge_id: abs(amps) * ohm for edge_id, amps, ohm in drop.steps}
            for conductor in sorted(self.open, key=lambda c: -losses.get(c.id, 0.0)):
                larger = [a for a in STANDARD_AREAS_MM2 if a > self.areas[conductor.id]]
                if conductor.id in losses and larger and losses[conductor.id] > 0:
                    self.raised[conductor.id] = larger[0]
                    return True
        return False

    def _sized(self, conductor: Conductor) -> SizedConductor:
        area = self.areas[conductor.id]
        temperature = self.temperatures[conductor.id]
        return SizedConductor(
            conductor,
            area,
            conductor.area_mm2 is None,
            self.decided[conductor.id],
            self._design(conductor),
            self._ambient(conductor),
            self._capacities(conductor, area),
            temperature,
            resistance_per_metre(area, temperature) * conductor.length_m,
        )

    def _sized_fuses(self) -> dict[str, SizedFuse]:
        levels = fault_levels(self.system, self.network, self._resistances())
        sized = {}
        for link in self.network.fuses.values():
            ends = [levels[node] for node in (link.start, link.end) if node in levels]
            prospective = max((prospective_current_a(volts, ohm) for volts, ohm in ends), default=0.0)
            rating = self.ratings[link.id]
            sized[link.id] = SizedFuse(
                link,
                rating,
                link.rating_a is None,
                link.rating_a is not None or rating >= self._design(link),
                self._design(link),
                self._continuous(link),
                self._start(link),
                prospective,
            )
        return sized

    def _volts(self, consumer: Consumer) -> float | None:
        for solution in self.states.values():
            if consumer.plus in solution.volts and consumer.minus in solution.volts:
                return solution.volts[consumer.plus] - solution.volts[consumer.minus]
        return None

    def _drops(self) -> dict[str, Drop]:
        drops = {}
        for consumer in self.network.consumers:
            if consumer.kind in ("load", "inverter", "converter"):
                drop = self._drop(consumer.owner, self._kind(consumer), consumer, State.SUPPLY)
                if drop is not None:
                    drops[consumer.owner] = drop
        for source in self.network.sources:
            if source.kind == "charger":
                drop = self._drop(source.owner, "charging", source, State.CHARGE)
                if drop is not None:
                    drops[source.owner] = drop
        return drops

    def _kind(self, consumer: Consumer) -> str:
        if consumer.kind == "load":
            return self.system.loads[consumer.owner].importance
        return "main" if consumer.kind == "converter" else "general"

    def _drop(self, owner: str, kind: str, thing: Consumer | Source, state: State) -> Drop | None:
        solution = self.states[state]
        supply = self._way(thing.plus, self._battery_posts("plus") - {thing.plus})
        back = self._way(thing.minus, self._battery_posts("minus") - {thing.minus})
        if not supply or not back or thing.plus not in solution.volts:
            return None
        resistances = self._resistances()
        steps = tuple((edge.id, abs(solution.amps[edge.id]), resistances.of(edge)) for edge in supply + back)
        there = sum(amps * ohm for _, amps, ohm in steps[: len(supply)])
        returned = sum(amps * ohm for _, amps, ohm in steps[len(supply) :])
        limit = drop_limit(kind, self.system.van.basis)
        return Drop(owner, kind, there, returned, thing.nominal_v, limit, steps)
