"""Currents in the wiring of one van, in the operating states that determine its sizes.

Loads draw their nominal current; batteries are voltage sources with internal resistance; the chassis and
every cable are resistances. Meshed networks are solved without simplification.
"""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, replace
from enum import Enum
from typing import Literal

from vandoc.ground.calc.battery import full_voltage_v, internal_resistance_ohm
from vandoc.ground.calc.nodal import Nodal
from vandoc.ground.data import constant
from vandoc.model.equipment import Battery
from vandoc.model.system import CompletedSystem
from vandoc.physics.network.graph import Conductor, Edge, FuseLink, Network, Source, splits_charge

MAX_ROUNDS = (
    60  # converters that supply each other in part converge within that; in a chain, each adds a round
)
CONVERGENCE = 1e-6  # relative change of the input current of a converter at convergence
RESTING_OHM = 1e3  # of a battery that draws almost nothing but holds the voltage of its part


class SizingState(Enum):
    """Operating state of the van for sizing.

    `SUPPLY`: every load on, no charging. `CHARGE` and `HOOK_UP`: every charger at full output that runs while
    driving, or on hook-up; those of solar arrays run in both, no load is on. A van on hook-up is not driven.
    """

    SUPPLY = "supply"
    CHARGE = "charge"
    HOOK_UP = "hook-up"

    @property
    def charges(self) -> bool:
        """Whether chargers run."""
        return self is not SizingState.SUPPLY


def sizing_states(network: Network) -> tuple[SizingState, ...]:
    """Return the states that decide the sizes of a van: hook-up only with a charger for it."""
    hook_up = any(source.charges_from == "mains" for source in network.sources)
    return tuple(state for state in SizingState if state is not SizingState.HOOK_UP or hook_up)


def charging_state(source: Source) -> SizingState:
    """Return the state in which a charger charges; one for a solar array charges in both."""
    return SizingState.HOOK_UP if source.charges_from == "mains" else SizingState.CHARGE


def _charges(source: Source, state: SizingState) -> bool:
    return state.charges and (source.charges_from == "solar" or charging_state(source) is state)


@dataclass(frozen=True)
class Solution:
    """Voltages and currents of one state.

    Attributes
    ----------
    volts : dict[str, float]
        By terminal, without terminals that no source reaches. [V]
    amps : dict[str, float]
        By edge, from its start to its end. [A]
    unsettled : tuple of str
        Converters and alternators whose current still changed when the calculation was stopped; the
        voltages and currents are then wrong.
    """

    volts: dict[str, float]
    amps: dict[str, float]
    unsettled: tuple[str, ...] = ()


@dataclass(frozen=True)
class Resistances:
    """Resistance of each edge for one choice of sizes and temperatures. [Ω]"""

    system: CompletedSystem
    per_conductor: Mapping[str, float]
    fuse_ratings: Mapping[str, float]

    def of(self, edge: Edge) -> float:
        """Return the resistance of an edge. [Ω]"""
        smallest = 1e-6  # a joint of zero length needs a resistance for its current to be determined
        if isinstance(edge, Conductor):
            return max(self.per_conductor[edge.id], smallest)
        if isinstance(edge, FuseLink):
            return max(constant("fuse drop at rating").value / self.fuse_ratings[edge.id], smallest)
        if edge.ohm is not None:
            return edge.ohm
        return max(constant(f"{edge.kind} resistance").value, smallest)


def battery_resistance_ohm(
    battery: Battery, nominal_v: float, *, end: Literal["low", "usual", "high"] = "usual"
) -> float:
    """Return the internal resistance stated in the file, or that for chemistry and capacity. [Ω]

    `end` as in :func:`internal_resistance_ohm`. The electronics of a battery may trip before its largest
    current flows; nothing counts on that. For its smallest they, and the links inside, are not taken to be
    better than usual, whatever is stated of the cells.
    """
    volts, cells = battery.nominal_v or nominal_v, battery.cells
    usual = internal_resistance_ohm(battery.chemistry, battery.capacity_ah, volts, cells, end=end)
    if end == "low" and battery.short_circuit_a is not None:
        return full_voltage_v(battery.chemistry, volts, cells) / battery.short_circuit_a
    if battery.resistance_ohm is None:
        return usual
    guarded = end == "high" and battery.traits.management is not False
    return max(battery.resistance_ohm, usual) if guarded else battery.resistance_ohm


def alternator_v(source: Source) -> float:
    """Return the voltage that an alternator, or what stands in for it, holds. [V]"""
    if source.set_v is not None:
        return source.set_v
    return constant("alternator voltage per 12 V").value * source.nominal_v / 12


def solve(
    system: CompletedSystem, network: Network, resistances: Resistances, state: SizingState
) -> Solution:
    """Solve one state.

    Returns
    -------
    Solution
        Parts of the wiring without a voltage source have no entries; their edges carry no current.
    """
    passes = _closed(state)
    feeds = _voltages(system, network, state)
    draws = _draws(network, state)
    for _ in range(
        MAX_ROUNDS + 2 * len(feeds)
    ):  # converter inputs depend on outputs, the alternator limit on its current
        solution = _solve_once(network, resistances, passes, feeds, draws)
        changed = _follow(system, network, solution, state, feeds, draws)
        if not changed:
            return solution
    return replace(solution, unsettled=tuple(changed))


@dataclass
class _Feed:
    source: Source
    volts: float
    ohm: float
    fixed_a: float | None = None


@dataclass
class _Draw:
    owner: str
    into: str
    out_of: str
    amps: float


def _closed(state: SizingState) -> Callable[[Edge], bool]:
    def passes(edge: Edge) -> bool:
        return state is SizingState.CHARGE or not splits_charge(edge)

    return passes


def _voltages(system: CompletedSystem, network: Network, state: SizingState) -> list[_Feed]:
    feeds = []
    batteries = system.batteries
    for source in network.sources:
        if source.kind == "battery":
            piece = batteries[source.owner]
            ohm = battery_resistance_ohm(piece, system.van.nominal_v)
            full = full_voltage_v(piece.chemistry, source.nominal_v, piece.cells)
            flat = state.charges and piece.role == "leisure"
            feeds.append(_Feed(source, source.nominal_v if flat else full, ohm))
        elif source.kind == "alternator" and state is SizingState.CHARGE:
            volts = alternator_v(source)
            feeds.append(_Feed(source, volts, constant("alternator resistance").value))
        elif (source.kind == "solar" and state.charges) or (
            source.kind == "converter" and state is SizingState.SUPPLY
        ):
            feeds.append(_Feed(source, source.nominal_v, 1e-3))
    return feeds


def _draws(network: Network, state: SizingState) -> list[_Draw]:
    draws = []
    for consumer in network.consumers:
        driven = consumer.kind == "charger"  # it is the input of a charger from the alternator
        runs = state is SizingState.CHARGE if driven else state is SizingState.SUPPLY
        if runs and consumer.kind != "converter":
            draws.append(_Draw(consumer.owner, consumer.minus, consumer.plus, consumer.amps_a))
    if state.charges:
        for source in network.sources:
            if source.kind == "charger" and _charges(source, state):
                draws.append(_Draw(source.owner, source.plus, source.minus, source.limit_a or 0.0))
    else:
        draws += [
            _Draw(consumer.owner, consumer.minus, consumer.plus, 0.0)
            for consumer in network.consumers
            if consumer.kind == "converter"
        ]
    return draws


def _solve_once(
    network: Network,
    resistances: Resistances,
    passes: Callable[[Edge], bool],
    feeds: list[_Feed],
    draws: list[_Draw],
) -> Solution:
    edges = [edge for edge in network.edges() if passes(edge)]
    volts: dict[str, float] = {}
    for island in _islands(edges, feeds):
        volts.update(_net(island, edges, resistances, feeds, draws).solve())
    amps = {}
    for edge in network.edges():
        known = passes(edge) and edge.start in volts and edge.end in volts
        amps[edge.id] = (volts[edge.start] - volts[edge.end]) / resistances.of(edge) if known else 0.0
    return Solution(volts, amps)


def _net(
    island: set[str], edges: Iterable[Edge], resistances: Resistances, feeds: list[_Feed], draws: list[_Draw]
) -> Nodal:
    nodal = Nodal(sorted(island), reference=_reference(island, feeds))
    for edge in edges:
        if edge.start in island:
            nodal.resistor(edge.start, edge.end, resistances.of(edge))
    for feed in feeds:
        if feed.source.plus not in island:
            continue
        if feed.fixed_a is None:
            nodal.source(feed.source.plus, feed.source.minus, feed.volts, feed.ohm)
        else:
            nodal.current(feed.source.plus, feed.source.minus, feed.fixed_a)
    for draw in draws:
        if draw.into in island and draw.out_of in island:
            nodal.current(draw.into, draw.out_of, draw.amps)
    return nodal


def _islands(edges: Iterable[Edge], feeds: list[_Feed]) -> list[set[str]]:
    """Connected parts of the wiring that contain a voltage source."""
    around: dict[str, list[str]] = {}
    pairs = [(edge.start, edge.end) for edge in edges]
    pairs += [(feed.source.plus, feed.source.minus) for feed in feeds]
    for a, b in pairs:
        around.setdefault(a, []).append(b)
        around.setdefault(b, []).append(a)
    islands: list[set[str]] = []
    seen: set[str] = set()
    for feed in feeds:
        if feed.source.minus in seen or feed.fixed_a is not None:
            continue
        island, todo = {feed.source.minus}, [feed.source.minus]
        while todo:
            for other in around[todo.pop()]:
                if other not in island:
                    island.add(other)
                    todo.append(other)
        seen |= island
        islands.append(island)
    return islands


def _reference(island: set[str], feeds: list[_Feed]) -> str:
    return next(feed.source.minus for feed in feeds if feed.source.minus in island)


def _follow(
    system: CompletedSystem,
    network: Network,
    solution: Solution,
    state: SizingState,
    feeds: list[_Feed],
    draws: list[_Draw],
) -> list[str]:
    """Set converter inputs and overloaded alternators from a solution; return the items that changed."""
    if state is SizingState.CHARGE and (rested := _rest_starters(system, network, solution, feeds)):
        return rested
    changed = []
    for feed in feeds:
        source = feed.source
        if source.kind not in ("converter", "alternator", "solar") or feed.fixed_a is not None:
            continue
        delivered = _delivered(network, solution, source)
        if source.kind == "alternator" and delivered > (source.limit_a or 0.0):
            feed.fixed_a = source.limit_a
            _wake_starters(system, feeds)
            changed.append(source.owner)
        elif source.kind == "solar":
            if delivered > (source.limit_a or 0.0) and _has_weaker(network, feeds, feed):
                feed.fixed_a = source.limit_a
                changed.append(source.owner)
        elif source.kind == "converter" and state is SizingState.SUPPLY:
            consumer = next(c for c in network.consumers if c.kind == "converter" and c.owner == source.owner)
            share = delivered / source.limit_a if source.limit_a else 0.0
            amps = consumer.amps_a * share
            draw = next(d for d in draws if d.owner == source.owner)
            if abs(draw.amps - amps) > CONVERGENCE * max(1.0, abs(amps)):
                changed.append(source.owner)
            draw.amps = amps
    return changed


def _has_weaker(network: Network, feeds: list[_Feed], feed: _Feed) -> bool:
    """Whether other panels in parallel hold a lower voltage: then these give their current and no more."""
    net = network.joined(feed.source.plus)
    panels = (one for one in feeds if one.source.kind == "solar" and one.source.plus in net)
    return any(one.fixed_a is None and one.volts < feed.volts for one in panels)


def _rest_starters(
    system: CompletedSystem, network: Network, solution: Solution, feeds: list[_Feed]
) -> list[str]:
    """Set full starter batteries to draw almost nothing; return their ids."""
    starters = system.starters
    taking = [
        feed
        for feed in feeds
        if feed.source.owner in starters
        and feed.ohm < RESTING_OHM
        and _delivered(network, solution, feed.source) < 0
    ]
    for feed in taking:
        feed.ohm = RESTING_OHM
    return [feed.source.owner for feed in taking]


def _wake_starters(system: CompletedSystem, feeds: list[_Feed]) -> None:
    """Let starter batteries supply current again once the alternator is at its limit."""
    starters = system.starters
    for feed in feeds:
        if (piece := starters.get(feed.source.owner)) is not None:
            feed.ohm = battery_resistance_ohm(piece, system.van.nominal_v)


def _delivered(network: Network, solution: Solution, source: Source) -> float:
    """Current out of the positive terminal of a source. [A]"""
    total = 0.0
    for edge in network.at(source.plus):
        total += solution.amps[edge.id] if edge.start == source.plus else -solution.amps[edge.id]
    return total
