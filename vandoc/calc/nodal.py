"""Node voltages of a linear direct-current network.

Nodes are taken out one at a time, the one with the fewest neighbours first, each replaced by the conductances
between its neighbours (star to mesh). That is the sparse L·D·Lᵀ factorisation of the conductance matrix in
minimum degree order, written so that conductances are only added, multiplied and divided: nothing cancels
between a fuse of microohms and a load of kiloohms. Time grows nearly in proportion to the number of nodes on
tree-like networks.
"""

from collections import deque
from collections.abc import Iterable
from dataclasses import dataclass
from heapq import heapify, heappop, heappush

from vandoc.calc.require import finite, positive


class FloatingNodes(ValueError):  # noqa: N818 (the name says what is wrong)
    """Some nodes have no connection to the reference, so their voltage is undefined; ``nodes`` names them."""

    def __init__(self, nodes: Iterable[str]) -> None:
        self.nodes = tuple(sorted(nodes))
        super().__init__(f"no connection to the reference: {', '.join(self.nodes)}")


@dataclass(frozen=True)
class _Step:
    """One node taken out: its conductance to what was left, and the share of each neighbour left."""

    node: int
    total_s: float
    neighbours: tuple[tuple[int, float], ...]


class Nodal:
    """A network of resistors, voltage sources with resistance, and current sources.

    Parameters
    ----------
    nodes : iterable of str
        All nodes, each once.
    reference : str
        The node of 0 V, one of ``nodes``.

    Raises
    ------
    ValueError
        If a node is listed twice or the reference is not among them.

    Examples
    --------
    >>> net = Nodal(["chassis", "battery", "lamp"], "chassis")
    >>> net.source("battery", "chassis", 12.8, 0.01)
    >>> net.resistor("battery", "lamp", 0.19)
    >>> net.resistor("lamp", "chassis", 6.2)
    >>> round(net.solve()["lamp"], 3)
    12.4

    References
    ----------
    .. [1] Nodal analysis by Kirchhoff's current law; star-mesh transform and minimum degree order: textbook
       methods, from memory.
    """

    def __init__(self, nodes: Iterable[str], reference: str) -> None:
        self.nodes = tuple(nodes)
        self.reference = reference
        self._index = {node: number for number, node in enumerate(self.nodes)}
        if len(self._index) != len(self.nodes):
            raise ValueError("a node is listed twice")
        if reference not in self._index:
            raise ValueError(f"the reference {reference!r} is not a node")
        self._conductances: list[dict[int, float]] = [{} for _ in self.nodes]
        self._currents = [0.0] * len(self.nodes)
        self._steps: list[_Step] | None = None

    def resistor(self, a: str, b: str, ohm: float) -> None:
        """Join two different nodes by a resistance above 0 Ω; parallel ones add up."""
        i, j = self._pair(a, b)
        conductance_s = 1 / positive("ohm", ohm)
        positive("the conductance of ohm", conductance_s)
        self._conductances[i][j] = self._conductances[i].get(j, 0.0) + conductance_s
        self._conductances[j][i] = self._conductances[j].get(i, 0.0) + conductance_s
        self._steps = None

    def source(self, plus: str, minus: str, volts: float, ohm: float) -> None:
        """Put a voltage source with an internal resistance above 0 Ω between two different nodes."""
        amps = finite("volts", volts) / positive("ohm", ohm)
        finite("the current of volts and ohm", amps)
        self.resistor(plus, minus, ohm)
        self.current(plus, minus, amps)

    def current(self, into: str, out_of: str, amps: float) -> None:
        """Drive a current into one node and out of another."""
        i, j = self._pair(into, out_of)
        self._currents[i] += finite("amps", amps)
        self._currents[j] -= amps

    def factor(self) -> None:
        """Take the network apart once; ``solve`` and ``thevenin`` reuse it until an element is added.

        Raises
        ------
        FloatingNodes
            If nodes have no connection to the reference.
        """
        if self._steps is not None:
            return
        self._refuse_floating()
        ground = self._index[self.reference]
        rows = [dict(row) for row in self._conductances]
        # The reference is no neighbour: what leads to it is kept apart, and never fills in.
        earthed = [row.pop(ground, 0.0) for row in rows]
        heap = [(len(row), node) for node, row in enumerate(rows) if node != ground]
        heapify(heap)
        done = [False] * len(rows)
        done[ground] = True
        steps = []
        while heap:
            degree, node = heappop(heap)
            if done[node] or degree != len(rows[node]):
                continue
            done[node] = True
            row = rows[node]
            neighbours = sorted(row.items())
            total = sum(row.values()) + earthed[node]
            shares = tuple((other, conductance / total) for other, conductance in neighbours)
            steps.append(_Step(node, total, shares))
            for position, (other, share) in enumerate(shares):
                target = rows[other]
                del target[node]
                earthed[other] += share * earthed[node]
                for third, conductance in neighbours[position + 1 :]:
                    added = share * conductance
                    target[third] = target.get(third, 0.0) + added
                    rows[third][other] = rows[third].get(other, 0.0) + added
            for other, _ in neighbours:
                heappush(heap, (len(rows[other]), other))
            rows[node] = {}
        self._steps = steps

    def solve(self) -> dict[str, float]:
        """Return the voltage of every node against the reference.

        Returns
        -------
        dict of str to float
            Node to voltage; the reference is 0. [V]

        Raises
        ------
        FloatingNodes
            If nodes have no connection to the reference.
        """
        return dict(zip(self.nodes, self._voltages(self._currents), strict=True))

    def thevenin(self, a: str, b: str) -> tuple[float, float]:
        """Return what the network looks like from two different nodes: a voltage behind a resistance.

        Parameters
        ----------
        a, b : str
            Nodes; the voltage is that of ``a`` against ``b``.

        Returns
        -------
        tuple of float
            Open-circuit voltage [V] and resistance [Ω].

        Raises
        ------
        FloatingNodes
            If nodes have no connection to the reference.
        """
        i, j = self._pair(a, b)
        voltages = self._voltages(self._currents)
        test_currents = [0.0] * len(self.nodes)
        test_currents[i], test_currents[j] = 1.0, -1.0
        response = self._voltages(test_currents)
        return voltages[i] - voltages[j], response[i] - response[j]

    def _voltages(self, currents: list[float]) -> list[float]:
        self.factor()
        assert self._steps is not None
        left = list(currents)
        for step in self._steps:
            for other, share in step.neighbours:
                left[other] += share * left[step.node]
        voltages = [0.0] * len(left)
        for step in reversed(self._steps):
            voltages[step.node] = left[step.node] / step.total_s + sum(
                share * voltages[other] for other, share in step.neighbours
            )
        return voltages

    def _pair(self, a: str, b: str) -> tuple[int, int]:
        for node in (a, b):
            if node not in self._index:
                raise ValueError(f"{node!r} is not a node")
        if a == b:
            raise ValueError(f"both ends are {a!r}")
        return self._index[a], self._index[b]

    def _refuse_floating(self) -> None:
        start = self._index[self.reference]
        seen = {start}
        queue = deque([start])
        while queue:
            for other in self._conductances[queue.popleft()]:
                if other not in seen:
                    seen.add(other)
                    queue.append(other)
        if len(seen) < len(self.nodes):
            raise FloatingNodes(node for node, number in self._index.items() if number not in seen)
