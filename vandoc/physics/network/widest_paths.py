"""Fuse-limited current to each terminal, and the share of it by paths other than one cable."""

import heapq
from collections.abc import Collection, Iterable, Mapping
from functools import cached_property
from math import inf

from vandoc.physics.network.graph import Edge, FuseLink, Network, far_end


class WidestPaths:
    """The widest paths from given terminals: those on which the smallest fuse is largest.

    Parameters
    ----------
    network : Network
    starts : iterable of str
        Terminals of sources.
    ratings : mapping
        Fuse ratings by id. [A]

    Attributes
    ----------
    best : dict
        By reachable terminal: the largest rating that every fuse on some path to it reaches; infinity
        for a path without a fuse. [A]
    """

    def __init__(self, network: Network, starts: Iterable[str], ratings: Mapping[str, float]) -> None:
        self._network = network
        self._ratings = dict(ratings)
        self._came: dict[str, tuple[Edge, str]] = {}  # last edge of the widest path, and its start
        self.best = dict.fromkeys(starts, inf)
        self._spread(self.best, self._came)

    def without(self, edge: Edge) -> tuple[float, float]:
        """Return the current to the start and end of an edge by paths other than the edge itself. [A]"""
        best = self.best
        for far in (edge.start, edge.end):
            if far in self._came and self._came[far][0].id == edge.id:
                best = {**self._around(edge, far), far_end(edge, far): best[far_end(edge, far)]}
        return best.get(edge.start, 0.0), best.get(edge.end, 0.0)

    def _around(self, edge: Edge, far: str) -> dict[str, float]:
        """Return the widths of the terminals whose widest path used the edge; all others keep theirs."""
        beyond = [far]
        for node in beyond:
            beyond += self._next.get(node, ())
        lost = set(beyond)
        found: dict[str, float] = {}
        for node in beyond:
            for other_edge in self._network.at(node):
                other = far_end(other_edge, node)
                if other not in lost and other in self.best and other_edge.id != edge.id:
                    found[node] = max(found.get(node, 0.0), self._through(other_edge, self.best[other]))
        self._spread(found, {}, lost)
        return found

    @cached_property
    def _next(self) -> dict[str, list[str]]:
        """Return, by terminal, the next terminals on the widest paths from it."""
        found: dict[str, list[str]] = {}
        for node, (_, before) in self._came.items():
            found.setdefault(before, []).append(node)
        return found

    def _through(self, edge: Edge, amps: float) -> float:
        return min(amps, self._ratings[edge.id]) if isinstance(edge, FuseLink) else amps

    def _spread(
        self, best: dict[str, float], came: dict[str, tuple[Edge, str]], within: Collection[str] | None = None
    ) -> None:
        """Continue from the terminals of known width."""
        heap = [(-width, node) for node, width in best.items()]
        heapq.heapify(heap)
        while heap:
            negative, node = heapq.heappop(heap)
            if -negative < best[node]:
                continue
            for edge in self._network.at(node):
                other = far_end(edge, node)
                if within is not None and other not in within:
                    continue
                through = self._through(edge, -negative)
                if through > best.get(other, 0.0):
                    best[other] = through
                    came[other] = (edge, node)
                    heapq.heappush(heap, (-through, other))
