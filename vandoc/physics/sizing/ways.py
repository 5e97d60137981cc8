"""Paths from batteries to what they supply, and from chargers to batteries, along which voltage drops."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from vandoc.ground.calc.drop import Limit
from vandoc.model.system import CompletedSystem
from vandoc.physics import limits
from vandoc.physics.network.currents import SizingState, charging_state
from vandoc.physics.network.graph import Consumer, Edge, Network, Source


@dataclass(frozen=True)
class DropPath:
    """The supply and the return of a consumer or charger, with the limit of its voltage drop."""

    owner: str
    kind: str
    nominal_v: float
    limit: Limit
    state: SizingState
    supply: list[Edge]
    back: list[Edge]
    minus: str


class Ways:
    """The paths of a van.

    Parameters
    ----------
    system : CompletedSystem
    network : Network
    """

    def __init__(self, system: CompletedSystem, network: Network) -> None:
        self.system, self.network = system, network
        self._feeding = [source for source in network.sources if source.kind in ("battery", "converter")]
        self.posts = frozenset(source.plus for source in self._feeding)
        self._searched: dict[frozenset[str], Callable[[str], list[Edge] | None]] = {}

    def to(self, goal: str, starts: frozenset[str]) -> list[Edge]:
        """Return the edges of a shortest path to a terminal; none if it cannot be reached."""
        if starts not in self._searched:
            self._searched[starts] = self.network.paths(starts)
        return self._searched[starts](goal) or []

    def dropping(self) -> Iterator[DropPath]:
        """Yield the paths with a voltage drop: each consumer and each charger from or to its battery."""
        for consumer in self.network.consumers:
            if consumer.kind in ("load", "inverter", "converter"):
                yield from self._path(consumer, self._kind(consumer), SizingState.SUPPLY)
        for source in self.network.sources:
            if source.kind == "charger":
                yield from self._path(source, "charging", charging_state(source))

    def _kind(self, consumer: Consumer) -> str:
        if consumer.kind == "load":
            return self.system.loads[consumer.owner].importance
        return "main" if consumer.kind == "converter" else "general"

    def _path(self, thing: Consumer | Source, kind: str, state: SizingState) -> Iterator[DropPath]:
        supply = self.to(thing.plus, self.posts - {thing.plus})
        first = {supply[0].start, supply[0].end} if supply else set()
        minuses = frozenset(source.minus for source in self._feeding if source.plus in first)
        back = self.to(thing.minus, minuses - {thing.minus})
        if supply and back:
            limit = limits.voltage_drop(self.system, kind)
            yield DropPath(thing.owner, kind, thing.nominal_v, limit, state, supply, back, thing.minus)
