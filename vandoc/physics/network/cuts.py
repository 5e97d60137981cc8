"""Reachability of terminals after one terminal and one cable are removed."""

from collections.abc import Iterable, Iterator

from vandoc.physics.network.graph import Edge, Network, far_end


class Cuts:
    """One depth-first search of the wiring, so that each query costs a few look-ups only.

    Parameters
    ----------
    network : Network
    starts : iterable of str
        Terminals from which the wiring is walked.
    without : Edge, optional
        The edge that is taken out.

    References
    ----------
    .. [1] J. Hopcroft and R. Tarjan, Algorithm 447: efficient algorithms for graph manipulation,
       Communications of the ACM 16 (1973) 372-378 (from memory).
    """

    def __init__(self, network: Network, starts: Iterable[str], without: Edge | None = None) -> None:
        self._without = without.id if without else None
        self._first: dict[str, int] = {}  # discovery time of each terminal
        self._last: dict[str, int] = {}  # last discovery time in its subtree
        self._lowest: dict[str, int] = {}  # earliest terminal that a back edge from its subtree reaches
        self._entered: dict[str, tuple[str | None, str | None]] = {}  # by edge, from terminal
        self._starts = frozenset(starts)
        for start in sorted(self._starts):
            if start not in self._first:
                self._walk(network, start)

    def _walk(self, network: Network, start: str) -> None:
        self._meet(start, None, None)
        todo: list[tuple[str, Iterator[Edge]]] = [(start, iter(network.at(start)))]
        while todo:
            node, edges = todo[-1]
            for edge in edges:
                if edge.id in (self._without, self._entered[node][0]):
                    continue
                other = far_end(edge, node)
                if other not in self._first:
                    self._meet(other, edge.id, node)
                    todo.append((other, iter(network.at(other))))
                    break
                self._lowest[node] = min(self._lowest[node], self._first[other])
            else:
                todo.pop()
                self._last[node] = len(self._first) - 1
                if todo:
                    before = todo[-1][0]
                    self._lowest[before] = min(self._lowest[before], self._lowest[node])

    def _meet(self, node: str, edge_id: str | None, before: str | None) -> None:
        self._first[node] = len(self._first)
        # The starts count as neighbours of each other, as if one terminal led to all of them.
        self._lowest[node] = -1 if node in self._starts else self._first[node]
        self._entered[node] = (edge_id, before)

    def is_bridge(self, edge: Edge) -> bool:
        """Return whether an edge is a bridge: the only path to everything beyond it."""
        far = self._beyond(edge)
        return far is not None and self._lowest[far] >= self._first[far]

    def is_beyond(self, edge: Edge, node: str) -> bool:
        """Return whether a terminal is reached over a bridge only."""
        far = self._beyond(edge)
        return far is not None and node in self._first and self._within(far, node)

    def reaches(self, node: str, around: str) -> bool:
        """Return whether a terminal can be reached without passing through a given neighbour."""
        if node not in self._first or node == around:
            return False
        if node in self._starts or around not in self._first or not self._within(around, node):
            return True
        if self._first[node] < self._first[around]:
            return True
        child: str = node
        while (before := self._entered[child][1]) != around:
            assert before is not None
            child = before
        return self._lowest[child] < self._first[around]

    def _beyond(self, edge: Edge) -> str | None:
        """Return the end of an edge that was discovered over it; None if neither was."""
        return next((n for n in (edge.start, edge.end) if self._entered.get(n, (None,))[0] == edge.id), None)

    def _within(self, far: str, node: str) -> bool:
        return self._first[far] <= self._first[node] <= self._last[far]
