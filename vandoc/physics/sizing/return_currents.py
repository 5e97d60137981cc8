"""Fuse-limited currents in the return conductors."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from math import fsum, inf

from vandoc.physics.network.graph import Conductor, Edge, FuseLink, Network, far_end

Chain = tuple[tuple[str, float], ...]  # fuses and limits with their ratings in A, from the source on


@dataclass(frozen=True)
class SupplyAndReturn:
    """The supply path from a battery or converter to a consumer, and the return from its negative."""

    supply: tuple[Edge, ...]
    back: tuple[Edge, ...]
    minus: str

    def along(self) -> Iterator[tuple[Conductor, bool]]:
        """Yield each cable of the return, and whether current flows from its start to its end."""
        node = self.minus
        forward = node in (self.back[0].start, self.back[0].end)
        for edge in self.back if forward else self.back[::-1]:
            if isinstance(edge, Conductor):
                yield edge, edge.start == node
            node = far_end(edge, node)


def return_currents(
    network: Network, ways: Iterable[SupplyAndReturn], ratings: Mapping[str, float]
) -> dict[str, float]:
    """Return the maximum continuous return current of each cable in a short circuit or overload.

    Parameters
    ----------
    network : Network
    ways : iterable of SupplyAndReturn
        The paths of all consumers.
    ratings : mapping
        Fuse ratings by id. [A]

    Returns
    -------
    dict
        Cable id to let-through current: for each fuse no more than its rating, and no more than all the fuses
        downstream of it together; a converter counts with its limit. Infinity if there is neither fuse nor
        limit; cables that serve nothing are missing. Currents that come back in opposite directions, as those
        to and from a converter, do not add. [A]
    """
    limits = {s.plus: (s.owner, s.limit_a) for s in network.sources if s.kind == "converter" and s.limit_a}
    served: dict[tuple[str, bool], list[Chain]] = {}
    for way in ways:
        chain = [(edge.id, ratings[edge.id]) for edge in way.supply if isinstance(edge, FuseLink)]
        starts = [limits[node] for node in (way.supply[0].start, way.supply[0].end) if node in limits]
        for cable, forward in way.along():
            served.setdefault((cable.id, forward), []).append((*starts, *chain))
    found: dict[str, float] = {}
    for (ident, _), chains in served.items():
        found[ident] = max(found.get(ident, 0.0), _let_through(chains))
    return found


def _let_through(chains: list[Chain]) -> float:
    """Return the current let through by branching fuses: the rating or the sum of branches, if less."""
    if not all(chains):
        return inf
    branches: dict[tuple[str, float], list[Chain]] = {}
    for first, *rest in chains:
        branches.setdefault(first, []).append(tuple(rest))
    return fsum(min(amps, _let_through(rest)) for (_, amps), rest in branches.items())
