"""Node voltages of a linear direct-current network."""

from collections import deque
from collections.abc import Iterable

from vandoc.ground.calc.elimination import Elimination, Shares
from vandoc.ground.calc.require import finite, positive


class FloatingNodes(ValueError):  # noqa: N818 (the name says what is wrong)
    """Some nodes have no connection to the reference, so their voltage is undefined; ``nodes`` lists them."""

    def __init__(self, nodes: Iterable[str]) -> None:
        self.nodes = tuple(sorted(nodes))
        super().__init__(f"no connection to the reference: {', '.join(self.nodes)}")


class Nodal:
    """Linear network of resistors, voltage sources with internal resistance, and current sources.

    Parameters
    ----------
    nodes : iterable of str
        All nodes, each once.
    reference : str
        The 0 V node, one of ``nodes``.

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
    .. [1] Nodal analysis by Kirchhoff's current law: textbook method, from memory.
    """

    def __init__(self, nodes: Iterable[str], reference: str) -> None:
        self.nodes = tuple(nodes)
        self.reference = reference
        self._index = {node: number for number, node in enumerate(self.nodes)}
        if len(self._index) != len(self.nodes):
            raise ValueError("a node is listed twice")
        if reference not in self._index:
            raise ValueError(f"the reference {reference!r} is not a node")
        self._conductances: dict[tuple[int, int], float] = {}
        self._currents = [0.0] * len(self.nodes)
        self._factored: tuple[Elimination, Shares] | None = None

    def resistor(self, a: str, b: str, ohm: float) -> None:
        """Connect two different nodes by a resistance above 0 Ω; conductances in parallel add up."""
        i, j = self._pair(a, b)
        conductance_s = 1 / positive("ohm", ohm)
        positive("the conductance of ohm", conductance_s)
        pair = (i, j) if i < j else (j, i)
        self._conductances[pair] = self._conductances.get(pair, 0.0) + conductance_s
        self._factored = None

    def source(self, plus: str, minus: str, volts: float, ohm: float) -> None:
        """Put a voltage source with an internal resistance above 0 Ω between two different nodes."""
        amps = finite("volts", volts) / positive("ohm", ohm)
        finite("the current of volts and ohm", amps)
        self.resistor(plus, minus, ohm)
        self.current(plus, minus, amps)

    def current(self, into: str, out_of: str, amps: float) -> None:
        """Inject a current into one node and draw it from another."""
        i, j = self._pair(into, out_of)
        self._currents[i] += finite("amps", amps)
        self._currents[j] -= amps

    def factor(self) -> tuple[Elimination, Shares]:
        """Factorise the network once; ``solve`` and ``thevenin`` reuse it until an element is added.

        Raises
        ------
        FloatingNodes
            If nodes have no connection to the reference.
        """
        if self._factored is None:
            self._refuse_floating()
            earth = (self._index[self.reference],)
            elimination = Elimination(len(self.nodes), tuple(self._conductances), earth)
            self._factored = elimination, elimination.factor(tuple(self._conductances.values()))
        return self._factored

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
        """Return the Thévenin equivalent between two different nodes: a voltage behind a resistance.

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
        elimination, shares = self.factor()
        return elimination.solve(shares, currents)

    def _pair(self, a: str, b: str) -> tuple[int, int]:
        for node in (a, b):
            if node not in self._index:
                raise ValueError(f"{node!r} is not a node")
        if a == b:
            raise ValueError(f"both ends are {a!r}")
        return self._index[a], self._index[b]

    def _refuse_floating(self) -> None:
        around: list[list[int]] = [[] for _ in self.nodes]
        for i, j in self._conductances:
            around[i].append(j)
            around[j].append(i)
        start = self._index[self.reference]
        seen = {start}
        queue = deque([start])
        while queue:
            for other in around[queue.popleft()]:
                if other not in seen:
                    seen.add(other)
                    queue.append(other)
        if len(seen) < len(self.nodes):
            raise FloatingNodes(node for node, number in self._index.items() if number not in seen)
