"""Supply queries on the wiring: upstream fuses, devices lost with a fuse, live terminals."""

from collections.abc import Callable, Collection, Iterable
from dataclasses import dataclass
from functools import cached_property
from math import inf

from vandoc.model.system import CompletedSystem
from vandoc.physics.network.graph import Edge, FuseLink, Joint, Network, far_end, splits_charge
from vandoc.physics.network.widest_paths import WidestPaths
from vandoc.physics.sizing.results import Sizing

Passes = Callable[[Edge], bool]


@dataclass(frozen=True)
class LostSupply:
    """Items that lose their supply or function when a fuse blows, by id in the van file.

    Attributes
    ----------
    stops : tuple of str
        Loads and devices without supply.
    idle : tuple of str
        Chargers, including the alternator, that no longer charge.
    cut_off : tuple of str
        Batteries that no longer supply anything.
    """

    stops: tuple[str, ...]
    idle: tuple[str, ...]
    cut_off: tuple[str, ...]


class Supply:
    """The supply of a parked van: relays that close only while driving are open."""

    def __init__(self, system: CompletedSystem, network: Network, sizing: Sizing) -> None:
        self.network, self.sizing = network, sizing
        self._driving = {joint.owner for joint in network.joints.values() if splits_charge(joint)}
        self._leisure = {f"{ident}.+" for ident in system.leisure}
        self._batteries = {battery.plus for battery in network.batteries()}
        self._panels = {source.plus for source in network.sources if source.kind == "solar"}
        self._outs = {source.plus: source.owner for source in network.sources if source.kind == "converter"}
        self._takers = {consumer.plus for consumer in network.consumers}
        passes = self._passes((), driving=True)
        self._whole = {source.plus: network.flood([source.plus], passes) for source in network.sources}
        self._always = self.reached(self._batteries | self._panels)
        self._loads = {f"{ident}.+" for ident in system.loads}
        held = ((ident, piece.positions()) for ident, piece in system.equipment.items())
        self._feeds = {f"{ident}.{own.feed}" for ident, own in held if own is not None}
        self._shorted = bool(network.positive & network.negative)

    def reached(self, starts: Iterable[str], but: Collection[str] = ()) -> set[str]:
        """Return the terminals supplied from given terminals, including through converters.

        Parameters
        ----------
        starts : iterable of str
            Terminals that are live.
        but : collection of str
            Fuses that have blown and devices with open contacts.
        """
        inputs = {c.owner: c.plus for c in self.network.consumers if c.kind == "converter"}
        passes = self._passes(but)
        live = set(starts)
        while True:
            found = self.network.flood(live, passes)
            fed = {out for out, owner in self._outs.items() if inputs.get(owner) in found}
            if fed <= live:
                return found
            live |= fed

    def _passes(self, but: Collection[str], driving: bool = False) -> Passes:
        def passes(edge: Edge) -> bool:
            if isinstance(edge, FuseLink):
                return edge.id not in but
            if isinstance(edge, Joint):
                return edge.owner not in but and (driving or edge.owner not in self._driving)
            return True

        return passes

    def loss(self, fuse: FuseLink) -> LostSupply:
        """Return the items lost when one fuse has blown."""
        after = self.reached(self._batteries | self._panels, {fuse.id})
        stops = [c.owner for c in self.network.consumers if c.plus in self._always and c.plus not in after]
        idle = []
        for source in self.network.sources:
            goals = {"charger": self._batteries, "alternator": self._leisure}.get(source.kind, set())
            if self._parts(source.plus, goals, fuse):
                idle.append(source.owner)
        cut_off = [
            battery.owner
            for battery in self.network.batteries()
            if self._parts(battery.plus, self._takers, fuse)
        ]
        return LostSupply(tuple(dict.fromkeys(stops)), tuple(idle), tuple(cut_off))

    def _parts(self, start: str, goals: set[str], fuse: FuseLink) -> bool:
        """Whether `start` supplies any of the goals, but none of them once the fuse has blown."""
        if fuse.start not in self._whole[start] or not self._whole[start] & goals:
            return False
        return not self.network.flood([start], self._passes({fuse.id}, driving=True)) & goals

    def fuses_towards(self, terminal: str) -> tuple[FuseLink, ...]:
        """Return the fuses between a terminal and its nearest source, the one nearest the terminal first."""
        found: list[FuseLink] = []
        starts = self._batteries | self._panels | set(self._outs)
        goal: str | None = terminal
        for _ in range(len(self._outs) + 1):  # passes each converter once at most
            way = self.network.path(starts, goal, self._supply_side) if goal else None
            if way is None or goal is None:
                break
            found += [edge for edge in reversed(way) if isinstance(edge, FuseLink)]
            owner = self._outs.get(_beginning(way, goal))
            goal = next((c.plus for c in self.network.consumers if c.owner == owner), None)
        return tuple(dict.fromkeys(found))

    def fuses_to_battery(self, terminal: str) -> tuple[FuseLink, ...]:
        """Return the fuses from a charger's output to the nearest battery, in that order."""
        ways = [self.network.path([terminal], plus, self._supply_side) for plus in sorted(self._batteries)]
        shortest = min((way for way in ways if way is not None), key=len, default=[])
        return tuple(edge for edge in shortest if isinstance(edge, FuseLink))

    def _supply_side(self, edge: Edge) -> bool:
        if edge.start in self.network.negative and not self._shorted:
            return False
        return self._passes(())(edge)

    @cached_property
    def main_fuses(self) -> tuple[FuseLink, ...]:
        """The fuses whose loss takes a board, or all loads, from all batteries, nearest a battery first."""
        return self._taking(self._leisure or self._batteries)

    @cached_property
    def fuses_of_everything(self) -> tuple[FuseLink, ...]:
        """The main fuses whose loss stops every load that a board supplies; without a board, every load."""
        starts = self._leisure or self._batteries
        positions = {fuse.id for fuse in self.network.fuses.values() if fuse.position is not None}
        reached = self._loads & self.reached(starts)
        all_loads = (reached - self.reached(starts, positions)) or reached
        return tuple(fuse for fuse in self.main_fuses if not all_loads & self.reached(starts, {fuse.id}))

    def fuses_of_battery(self, ident: str) -> tuple[FuseLink, ...]:
        """Return the fuses on a battery without which it supplies some board, or all loads, no longer."""
        return tuple(fuse for fuse in self._taking({f"{ident}.+"}) if self.sits_on_battery(fuse))

    def _taking(self, starts: set[str]) -> tuple[FuseLink, ...]:
        """Return the fuses whose loss takes a board, or all loads, from the given batteries."""
        whole = self.reached(starts)
        feeds, loads = self._feeds & whole, self._loads & whole
        to = self.network.paths(starts, self._supply_side)
        ways = [to(goal) or [] for goal in (*sorted(feeds), *sorted(loads)[:1])]
        along = (edge for way in sorted(ways, key=len) for edge in way)
        met = dict.fromkeys(
            edge for edge in along if isinstance(edge, FuseLink) and edge.trail[0] != "circuits"
        )
        found = []
        for fuse in met:
            after = self.reached(starts, {fuse.id})
            if feeds - after or (loads and not loads & after):
                found.append(fuse)
        return tuple(found)

    def sits_on_battery(self, fuse: FuseLink) -> bool:
        """Whether there is no other fuse between a battery and this one."""
        ratings = {ident: sized.rating_a for ident, sized in self.sizing.fuses.items()}
        return inf in WidestPaths(self.network, self._batteries, ratings).without(fuse)


def _beginning(way: list[Edge], goal: str) -> str:
    """Return the first terminal of a path that ends at `goal`."""
    node = goal
    for edge in reversed(way):
        node = far_end(edge, node)
    return node
