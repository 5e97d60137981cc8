"""Live terminals at each step of isolating a van, found by searching its wiring.

An origin is a battery, the alternator, solar panels or the mains hook-up. It makes a terminal live if closed
contacts connect the terminal to the positive of the origin, and a return leads to its negative. Chargers and
converters extend an origin from their input to their output. Switches and load relays are taken as closed,
fuses as intact.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Literal

from vandoc.model.system import CompletedSystem
from vandoc.model.traits import CHASSIS
from vandoc.physics.network.graph import Edge, Joint, Network, owner_of

HOOK_UP = "hook-up lead"
"""The origin that is not equipment: the mains supply of the site. No item can have this name."""


@dataclass(frozen=True)
class Condition:
    """The switching actions taken so far; initially everything supplies the van.

    Attributes
    ----------
    engine, hook_up, light : bool
        Whether the engine runs, the hook-up is plugged in, and light falls on the panels.
    opened : frozenset of str
        Isolators, switches and relays whose contact is open.
    off : frozenset of str
        Inverters that are switched off by their own button.
    stuck : bool
        Whether a relay that connects the batteries while the engine runs stays closed without it.
    """

    engine: bool = True
    hook_up: bool = True
    light: bool = True
    opened: frozenset[str] = frozenset()
    off: frozenset[str] = frozenset()
    stuck: bool = False


@dataclass(frozen=True)
class LiveTerminals:
    """The terminals that each origin keeps live.

    Attributes
    ----------
    terminals : mapping of str to frozenset of str
        Live terminals by origin; an origin that supplies nothing else has its own terminals only.
    mains : tuple of str
        Items at which mains voltage can be present: mains chargers, inverters.
    """

    terminals: Mapping[str, frozenset[str]]
    mains: tuple[str, ...]

    def pieces(self, origin: str) -> frozenset[str]:
        """Return the items and loads with a live terminal, the origin itself excluded."""
        return frozenset(owner_of(terminal) for terminal in self.terminals.get(origin, ())) - {origin}

    @property
    def all_pieces(self) -> frozenset[str]:
        """Return every item and load that is live, origins included."""
        held = {owner_of(terminal) for terminals in self.terminals.values() for terminal in terminals}
        return frozenset(held | set(self.mains))


@dataclass(frozen=True)
class IsolationStep:
    """One isolation step, and what is live after it.

    Attributes
    ----------
    act : str
        ``"cool"``: wait until the loads have cooled; ``"engine"``: stop it; ``"hook-up"``: unplug it;
        ``"inverter"``, ``"isolator"``: switch it off.
    pieces : tuple of str
        The items that the step applies to.
    live : LiveTerminals
    """

    act: Literal["cool", "engine", "hook-up", "inverter", "isolator"]
    pieces: tuple[str, ...]
    live: LiveTerminals


def live(system: CompletedSystem, network: Network, condition: Condition) -> LiveTerminals:
    """Return what is live in a condition of the van.

    Parameters
    ----------
    system, network : CompletedSystem, Network
        The van and its graph.
    condition : Condition
        The items switched off, stopped and unplugged.
    """
    walk = _Walk(system, network, condition)
    return LiveTerminals({origin: walk.from_origin(origin) for origin in walk.origins()}, walk.mains())


def steps(system: CompletedSystem, network: Network) -> tuple[IsolationStep, ...]:
    """Return the isolation steps of this van in order, each with what is live after it.

    Loads that must stay powered to cool down come first. A switch between panels and their controller opens
    before one at a battery, so that no controller is left with panels alone (common practice, no source).
    """
    return tuple(_steps(system, network))


def first_isolators(system: CompletedSystem, network: Network) -> tuple[str, ...]:
    """Return the isolators in opening order: at the panels, at leisure batteries, others."""
    ranks = _ranks(system, network)
    return tuple(sorted(ranks, key=ranks.__getitem__))


def panel_isolators(system: CompletedSystem, network: Network) -> frozenset[str]:
    """Return the isolators that disconnect panels and no battery."""
    return frozenset(ident for ident, rank in _ranks(system, network).items() if rank == 0)


def _ranks(system: CompletedSystem, network: Network) -> dict[str, int]:
    """Return 0 for isolators at the panels, 1 for those at leisure batteries, 2 for others."""
    panels = {source.plus for source in network.sources if source.kind == "solar"}
    leisure = {f"{ident}.{sign}" for ident in system.leisure for sign in "+-"}

    def closed(edge: Edge) -> bool:
        return not (isinstance(edge, Joint) and edge.kind in ("isolator", "relay", "disconnect", "earth"))

    by_panels, by_leisure = network.flood(panels, closed), network.flood(leisure, closed)
    ends: dict[str, set[str]] = {}
    isolators = [joint.owner for joint in network.joints.values() if joint.kind == "isolator"]
    for joint in network.joints.values():
        if joint.owner in isolators:
            ends.setdefault(joint.owner, set()).update((joint.start, joint.end))
    return {
        ident: 0 if at & by_panels and not at & by_leisure else 1 if at & by_leisure else 2
        for ident, at in ends.items()
    }


def _steps(system: CompletedSystem, network: Network) -> Iterator[IsolationStep]:
    now = Condition()
    cooling = tuple(ident for ident, load in system.loads.items() if load.cools_down)
    if cooling:
        yield IsolationStep("cool", cooling, live(system, network, now))
    if engines := tuple(s.owner for s in network.sources if s.kind == "alternator"):
        now = replace(now, engine=False)
        yield IsolationStep("engine", engines, live(system, network, now))
    if mains := _mains_chargers(network):
        now = replace(now, hook_up=False)
        yield IsolationStep("hook-up", mains, live(system, network, now))
    for ident in _inverters(network):
        now = replace(now, off=now.off | {ident})
        yield IsolationStep("inverter", (ident,), live(system, network, now))
    for ident in first_isolators(system, network):
        now = replace(now, opened=now.opened | {ident})
        yield IsolationStep("isolator", (ident,), live(system, network, now))


def safest(system: CompletedSystem, network: Network) -> Condition:
    """Return the condition after the last step."""
    return Condition(
        engine=False,
        hook_up=False,
        opened=frozenset(first_isolators(system, network)),
        off=frozenset(_inverters(network)),
    )


def _mains_chargers(network: Network) -> tuple[str, ...]:
    return tuple(source.owner for source in network.sources if source.charges_from == "mains")


def _inverters(network: Network) -> tuple[str, ...]:
    return tuple(consumer.owner for consumer in network.consumers if consumer.kind == "inverter")


class _Walk:
    """The graph in one condition."""

    def __init__(self, system: CompletedSystem, network: Network, condition: Condition) -> None:
        self.system, self.network, self.condition = system, network, condition
        self.sources = {source.owner: source for source in network.sources}
        self.minus_of = {consumer.plus: consumer.minus for consumer in network.consumers}

    def origins(self) -> Iterator[str]:
        """Yield the active sources in this condition."""
        for source in self.network.sources:
            feeds = {
                "battery": True,
                "alternator": self.condition.engine,
                "solar": self.condition.light,
            }
            if feeds.get(source.kind, False):
                yield source.owner
        if self.condition.hook_up and _mains_chargers(self.network):
            yield HOOK_UP

    def mains(self) -> tuple[str, ...]:
        """Return the items at which mains voltage can be present."""
        chargers = _mains_chargers(self.network) if self.condition.hook_up else ()
        batteries = [origin for origin in self.origins() if origin != HOOK_UP]
        fed = {owner_of(node) for origin in batteries for node in self.from_origin(origin)}
        inverters = [i for i in _inverters(self.network) if i not in self.condition.off and i in fed]
        return (*chargers, *inverters)

    def from_origin(self, origin: str) -> frozenset[str]:
        """Return the terminals that one origin keeps live, through chargers and converters too."""
        found: set[str] = set()
        todo = list(_mains_chargers(self.network)) if origin == HOOK_UP else [origin]
        done = set(todo)
        while todo:
            found |= self._around(todo.pop())
            for owner, entry in self._entries():
                if owner not in done and entry in found:
                    done.add(owner)
                    todo.append(owner)
        return frozenset(found)

    def _around(self, owner: str) -> set[str]:
        """Return the live terminals around one source, over closed contacts."""
        source = self.sources[owner]
        returns = self.network.flood([source.minus], self._passes)
        reached = self.network.flood([source.plus], self._passes) - {CHASSIS}
        minuses = set(self.minus_of.values())
        if returns.isdisjoint(minuses | {CHASSIS}):
            return {source.plus}
        return {node for node in reached if self.minus_of.get(node, source.minus) in returns}

    def _entries(self) -> Iterator[tuple[str, str]]:
        """Yield each charger and converter with the input terminal that makes its output live."""
        for source in self.network.sources:
            if source.inlet is not None and (self.condition.engine or not source.waits_for_engine):
                yield source.owner, source.inlet

    def _passes(self, edge: Edge) -> bool:
        if not isinstance(edge, Joint):
            return True
        if edge.owner in self.condition.opened:
            return False
        return not edge.with_engine or self.condition.engine or self.condition.stuck
