"""Sizing of one van: required current and capacity of each cable and fuse, and proposed sizes.

Sizes left open in the file are chosen here: the smallest standard fuse, then the smallest standard cable that
carries it and keeps the voltage drop within its limit.
"""

from functools import cached_property
from math import fsum, isinf

from vandoc.ground.calc import capacity as cap
from vandoc.ground.calc.conductor import operating_temperature_c, resistance_per_metre
from vandoc.ground.calc.fuse import ambient_fuse_factor, next_rating, standard_ratings
from vandoc.ground.calc.fuse_time import holding_multiple
from vandoc.ground.data import constant
from vandoc.model.system import CompletedSystem
from vandoc.physics import limits
from vandoc.physics.network.bonds import bonds
from vandoc.physics.network.currents import (
    Resistances,
    SizingState,
    Solution,
    sizing_states,
    solve,
)
from vandoc.physics.network.graph import Conductor, Consumer, Edge, FuseLink, Network, Source
from vandoc.physics.sizing.kept import KeptSizes
from vandoc.physics.sizing.overload import ProtectingFuses, overload_needs_a
from vandoc.physics.sizing.results import Decided, Drop, SizedConductor, SizedFuse, Sizing
from vandoc.physics.sizing.return_currents import SupplyAndReturn, return_currents
from vandoc.physics.sizing.starting import Starting
from vandoc.physics.sizing.terminals import largest_standard_mm2
from vandoc.physics.sizing.twins import Twins
from vandoc.physics.sizing.upsizing import CableGroup, upsize
from vandoc.physics.sizing.ways import Ways
from vandoc.physics.sizing.widths import Widths
from vandoc.physics.sizing.working import ProvisionalCable, working_amps

MAX_ROUNDS = 60  # seven at most were seen; contradictory input must end too


def size(system: CompletedSystem, network: Network) -> Sizing:
    """Size a van.

    Returns
    -------
    Sizing
        `unfed` names consumers without a source.
    """
    return _Sizer(system, network).run()


class _Sizer:
    def __init__(self, system: CompletedSystem, network: Network) -> None:
        self.system = system
        self.network = network
        self.bases = limits.bases(system)
        self.sizes = limits.cable_sizes(system)
        self.areas = {c.id: c.area_mm2 or 10.0 for c in network.conductors.values()}
        self.decided: dict[str, Decided] = dict.fromkeys(self.areas, "given")
        self.ratings = {f.id: f.rating_a or standard_ratings(f.family)[-1] for f in network.fuses.values()}
        self.raised = dict.fromkeys(self.areas, 0.0)  # minimum size for the voltage drop
        self.ambient = {c.id: self._ambient(c) for c in network.conductors.values()}
        self.temperatures = dict(self.ambient)
        self.states: dict[SizingState, Solution] = {}
        self.working: dict[str, float] = {}
        self.loads = {c.owner: c for c in network.consumers if c.kind == "load"}
        self.ways = Ways(system, network)
        self.starting: dict[str, float] = {}  # by edge, additional current of the hardest start
        self.started = Starting(system, network)
        self.brief: dict[str, float] = {}  # by edge, current of short-time loads
        self.kept_areas, self.kept_ratings = KeptSizes(), KeptSizes()
        self._follow_loads()
        self.dropping = list(self.ways.dropping())
        self.open = [c for c in network.conductors.values() if c.area_mm2 is None]
        self.bundles = self._bundles()
        self.twins = Twins(system, network)
        self.largest = {c.id: largest_standard_mm2(system, c) for c in self.open}
        self.known_capacities: dict[
            tuple[float, float, float, int, float, bool], tuple[cap.Capacity, ...]
        ] = {}

    def run(self) -> Sizing:
        settled = False
        for _ in range(MAX_ROUNDS):
            self._solve()
            self._work()
            before = (dict(self.areas), dict(self.ratings))
            self._choose_fuses()
            self._choose_conductors()
            self.twins.level(self.areas, self.ratings)
            self.kept_areas.follow(before[0], self.areas)
            self.kept_ratings.follow(before[1], self.ratings)
            if before == (self.areas, self.ratings) and not (
                self._raise_for_drop() or self._raise_for_starts()
            ):
                settled = True
                break
        back, widths = self._returned(), Widths(self.network, self.ratings)
        return Sizing(
            {c.id: self._sized(c, back.get(c.id, 0.0), widths) for c in self.network.conductors.values()},
            self._sized_fuses(),
            {drop.owner: drop for drop in self._drops()},
            self.states,
            tuple(c.owner for c in self.network.consumers if not self.network.feeds(c)),
            settled,
        )

    def _standard(self, least_mm2: float) -> float:
        """Return the next standard size from there up, or the largest of all. [mm²]"""
        return next((area for area in self.sizes if area >= least_mm2 - 1e-6), self.sizes[-1])

    def _bundles(self) -> list[CableGroup]:
        """Group open cables: supply and return on the way to a load share a size; each other one is alone."""
        grouped: dict[tuple[str, int], list[Conductor]] = {}
        for conductor in self.open:
            grouped.setdefault((conductor.circuit or conductor.id, conductor.leg), []).append(conductor)
        return [CableGroup.of(group) for group in grouped.values()]

    def _ambient(self, conductor: Conductor) -> float:
        return max((self.system.places[place].hottest_c for place in conductor.places), default=30.0)

    def _ohm(self, conductor_id: str, area_mm2: float) -> float:
        length = self.network.conductors[conductor_id].length_m
        return resistance_per_metre(area_mm2, self.temperatures[conductor_id]) * length

    def _resistances(self) -> Resistances:
        ohms = {ident: self._ohm(ident, area) for ident, area in self.areas.items()}
        return Resistances(self.system, ohms, self.ratings)

    def _solve(self) -> None:
        """Solve at the conductor temperatures of the previous round, then update them."""
        resistances = self._resistances()
        self.states = {
            state: solve(self.system, self.network, resistances, state)
            for state in sizing_states(self.network)
        }
        for conductor in self.network.conductors.values():
            found = self._capacities(conductor, self.areas[conductor.id])
            ambient = self.ambient[conductor.id]
            if found and found[0].amps_a > 0:
                amps = min(self._design(conductor), found[0].amps_a)
                self.temperatures[conductor.id] = operating_temperature_c(
                    ambient, max(conductor.insulation_c, ambient), amps, found[0].amps_a
                )
            else:
                self.temperatures[conductor.id] = max(conductor.insulation_c, ambient)

    def _work(self) -> None:
        """Find what proposals must carry beyond the sum of nameplate currents."""
        if self._is_open():
            laid = {c.id: self._laid(c, self.areas[c.id]) for c in self.network.conductors.values()}
            self.working = working_amps(self.system, self.network, laid, self.ratings)

    def _is_open(self) -> bool:
        return bool(self.open) or any(link.rating_a is None for link in self.network.fuses.values())

    def _laid(self, conductor: Conductor, area_mm2: float) -> ProvisionalCable:
        found = self._capacities(conductor, area_mm2)
        return ProvisionalCable(area_mm2, self.ambient[conductor.id], found[0].amps_a if found else 0.0)

    def _design(self, edge: Edge) -> float:
        return max(abs(solution.amps[edge.id]) for solution in self.states.values())

    def _capacities(self, conductor: Conductor, area_mm2: float) -> tuple[cap.Capacity, ...]:
        ambient, buried = self.ambient[conductor.id], conductor.buried_m or 0.0
        case = (area_mm2, conductor.insulation_c, ambient, conductor.bunched, buried, conductor.conduit)
        if case not in self.known_capacities:
            found = []
            for basis in self.bases:
                try:
                    found.append(cap.capacity(*case[:4], basis, buried_m=buried, conduit=conductor.conduit))
                except ValueError:  # this basis has no figure for such a size or insulation
                    continue
            self.known_capacities[case] = tuple(sorted(found, key=lambda capacity: capacity.amps_a))
        return self.known_capacities[case]

    def _continuous(self, edge: Edge) -> float:
        """Return the continuous part of the current, without short-time loads. [A]"""
        brief = self.brief.get(edge.id, 0.0)
        supply = round(
            abs(self.states[SizingState.SUPPLY].amps[edge.id]) - brief, 9
        )  # ignore rounding errors of the solution
        charging = (abs(solved.amps[edge.id]) for state, solved in self.states.items() if state.charges)
        return max(supply, *charging, 0.0)

    def _follow_loads(self) -> None:
        """Add up the effects of loads on the edges of their paths."""
        for owner, consumer in self.loads.items():
            load = self.system.loads[owner]
            extra = load.start_a * load.count - consumer.amps_a if load.start_a else 0.0
            for edge in self.ways.to(consumer.plus, self.ways.posts):
                if not load.continuous:
                    self.brief[edge.id] = self.brief.get(edge.id, 0.0) + consumer.amps_a
                self.starting[edge.id] = max(self.starting.get(edge.id, 0.0), extra)

    def _start(self, link: FuseLink) -> float:
        """Return the fuse current while the downstream load with the hardest start is starting. [A]"""
        extra = self.starting.get(link.id, 0.0)
        return abs(self.states[SizingState.SUPPLY].amps[link.id]) + extra if extra else 0.0

    def _choose_fuses(self) -> None:
        for link in self.network.fuses.values():
            if link.rating_a is None:
                multiple = constant("start-up multiple").value
                share = limits.fuse_load(self.system).value * ambient_fuse_factor(self._heat(link))
                lasting = self._continuous(link) / share
                works = self.working.get(link.id, 0.0) / holding_multiple(link.family)
                begins = max(self._start(link) / multiple, self.started.ratings.get(link.id, 0.0))
                needed = max(lasting, self._design(link), begins, works, self.kept_ratings.least(link.id))
                needed = round(needed, 6)  # rounding: a solved 3 A must not demand the next size
                self.ratings[link.id] = next_rating(link.family, needed) or standard_ratings(link.family)[-1]

    def _heat(self, link: FuseLink) -> float:
        """Return the highest temperature of the place of a fuse. [°C]"""
        return self.system.places[self.network.places[link.end]].hottest_c

    def _needed(self, conductor: Conductor, widths: Widths) -> float:
        """Return the required current of a cable: design current, and the current let through by fuses. [A]

        Where a battery reaches one end without a fuse, the fuses beyond the other end protect it; an end that
        no battery reaches may see a converter, a charger, panels or an alternator at their limit.
        """
        needed = max(self._design(conductor), self.working.get(conductor.id, 0.0))
        ends = (conductor.start, conductor.end)
        sent = zip(ends, widths.from_batteries(conductor), widths.from_limited(conductor), strict=True)
        for near, width, limit in sent:
            needed = max(needed, widths.beyond(conductor, near) if isinf(width) else max(width, limit))
        return round(needed, 6)

    def _needed_back(self, conductor: Conductor, let_through_a: float) -> float:
        """Return the required current of a return conductor: its design current, and its loads' fuses. [A]"""
        works = self.working.get(conductor.id, 0.0)
        return round(max(self._design(conductor), works, 0.0 if isinf(let_through_a) else let_through_a), 6)

    def _choose_conductors(self) -> None:
        """Choose supply cables first, since a return is at least as large as its supplies."""
        widths = Widths(self.network, self.ratings) if self.open else None
        fuses = ProtectingFuses(self.network, self.ratings)
        for conductor in self.open:
            if widths and not self.network.is_return(conductor):
                needed = self._needed(conductor, widths)
                overload = overload_needs_a(self.system, fuses, conductor, needed)
                self._choose(conductor, needed, 0.0, "fuse and current", overload)
        self.twins.level(self.areas, self.ratings)
        back = self._returned()
        for conductor in self.open:
            if self.network.is_return(conductor):
                supply = self._supply_area(conductor)
                let_through = 0.0 if supply else back.get(conductor.id, 0.0)
                self._choose(conductor, self._needed_back(conductor, let_through), supply, "as its supply")

    def _returned(self) -> dict[str, float]:
        ways = (SupplyAndReturn(tuple(path.supply), tuple(path.back), path.minus) for path in self.dropping)
        return return_currents(self.network, ways, self.ratings)

    def _choose(
        self, conductor: Conductor, needed_a: float, least_mm2: float, why: Decided, overload_a: float = 0.0
    ) -> None:
        """Choose the smallest size that is enough; where none ends an overload in time, the rest decides."""
        least = self._smallest(conductor)
        started = self.started.areas.get(conductor.id, 0.0)
        kept = self.kept_areas.least(conductor.id)
        floor = max(least, least_mm2, self.raised[conductor.id], started, kept)
        largest = self.largest[conductor.id]
        fitting = [area for area in self.sizes if floor - 1e-6 <= area <= largest + 1e-6]
        carried = {area: self._laid(conductor, area).capacity_a for area in fitting}
        enough = [area for area in fitting if carried[area] and carried[area] >= needed_a]
        lasting = (area for area in enough if carried[area] >= overload_a * (1 - 1e-9))
        for area in [*lasting, *enough][:1]:
            self.areas[conductor.id] = area
            if area == self.raised[conductor.id]:
                why = "voltage drop"
            elif area == started:
                why = "start"
            elif area == least and area > least_mm2:
                why = "smallest allowed"
            elif why == "as its supply" and area > self._standard(least_mm2):
                why = "fuse and current"
            self.decided[conductor.id] = why
            return
        self.areas[conductor.id] = max(largest, least_mm2)
        self.decided[conductor.id] = "none fits"

    def _smallest(self, conductor: Conductor) -> float:
        """Return the smallest standard size that the standards permit for a cable. [mm²]"""
        sheathed, amps = conductor.sheathed, round(self._design(conductor), 6)
        rule = limits.smallest_cable(
            self.system, sheathed=sheathed, length_m=conductor.length_m, current_a=amps
        )
        return self._standard(rule.area_mm2) if rule else 0.0

    def _supply_area(self, conductor: Conductor) -> float:
        """Return the largest supply cable of the loads on this return; a circuit uses its own."""
        if conductor.circuit is not None:
            return max(self.areas[ident] for ident in self._legs[conductor.circuit, conductor.leg])
        minuses = {end.replace(".sensor", ".-") for end in (conductor.start, conductor.end)}
        pluses = {plus for minus in minuses for plus in self._pluses.get(minus, ())}
        edges = (edge for plus in pluses for edge in self.network.at(plus))
        fed = [self.areas[c.id] for c in edges if isinstance(c, Conductor) and not c.signal]
        return max([*fed, *self._lead_areas(conductor)], default=0.0)

    def _lead_areas(self, conductor: Conductor) -> list[float]:
        """Return the positive leads of batteries that a cable bonds to the body, and the smallest bond."""
        leads = self._leads.get(conductor.id)
        return [self.areas[lead.id] for lead in leads] + [constant("smallest bond").value] if leads else []

    @cached_property
    def _leads(self) -> dict[str, tuple[Conductor, ...]]:
        return {bond.conductor.id: bond.leads for bond in bonds(self.system, self.network)}

    @cached_property
    def _legs(self) -> dict[tuple[str, int], list[str]]:
        """Return the supply cables on the way to each load that has its own, by circuit and number."""
        found: dict[tuple[str, int], list[str]] = {}
        for cable in self.network.conductors.values():
            if cable.circuit is not None and cable.role == "supply":
                found.setdefault((cable.circuit, cable.leg), []).append(cable.id)
        return found

    @cached_property
    def _pluses(self) -> dict[str, set[str]]:
        """Return, by negative terminal, the positive terminal of its device."""
        found: dict[str, set[str]] = {}
        served: list[Source | Consumer] = [*self.network.sources, *self.network.consumers]
        for thing in served:
            found.setdefault(thing.minus, set()).add(thing.plus)
        return found

    def _raise_for_drop(self) -> bool:
        grown = upsize(self._drops(), self.bundles, self.areas, self._ohm, self.largest, self.sizes)
        self.raised.update(grown)
        return bool(grown)

    def _raise_for_starts(self) -> bool:
        """Enlarge what is open for what starts behind it, once all else has settled."""
        if not self.started.starts or not self._is_open():
            return False
        laid = {c.id: self._laid(c, self.areas[c.id]) for c in self.network.conductors.values()}
        starting = self.started.solved(laid, self.ratings)
        raised = self.started.raise_fuses(starting)
        raised |= self.started.raise_cables(starting, self.open, laid, self._laid)
        ways = {path.owner: (path.supply, path.back) for path in self.dropping}
        drops = self.started.drops(starting, ways)
        grown = upsize(drops, self.bundles, self.areas, self._ohm, self.largest, self.sizes)
        self.started.areas.update(grown)
        return raised or bool(grown)

    def _sized(self, conductor: Conductor, returned_a: float, widths: Widths) -> SizedConductor:
        area = self.areas[conductor.id]
        temperature = self.temperatures[conductor.id]
        return SizedConductor(
            conductor,
            area,
            conductor.area_mm2 is None,
            self.decided[conductor.id],
            self._design(conductor),
            self.ambient[conductor.id],
            self._capacities(conductor, area),
            temperature,
            resistance_per_metre(area, temperature) * conductor.length_m,
            returned_a,
            self._needed_back(conductor, returned_a)
            if self.network.is_return(conductor)
            else self._needed(conductor, widths),
        )

    def _sized_fuses(self) -> dict[str, SizedFuse]:
        sized = {}
        for link in self.network.fuses.values():
            rating = self.ratings[link.id]
            sized[link.id] = SizedFuse(
                link,
                rating,
                link.rating_a is None,
                link.rating_a is not None or rating * (1 + 1e-6) >= self._design(link),
                self._design(link),
                self._continuous(link),
                self._start(link),
                self._heat(link),
                self.started.ratings.get(link.id, 0.0),
            )
        return sized

    def _drops(self) -> list[Drop]:
        resistances = self._resistances()
        drops = []
        for path in self.dropping:
            amps = self.states[path.state].amps
            steps = tuple(
                (edge.id, abs(amps[edge.id]), resistances.of(edge)) for edge in path.supply + path.back
            )
            lost = [current * ohm for _, current, ohm in steps]
            there, back = fsum(lost[: len(path.supply)]), fsum(lost[len(path.supply) :])
            drops.append(Drop(path.owner, path.kind, there, back, path.nominal_v, path.limit, steps))
        return drops
