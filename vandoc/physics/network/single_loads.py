"""The van with one load or inverter running at a time, solved in the wiring that then carries current."""

from vandoc.ground.calc.devices import Supply
from vandoc.ground.calc.operating_point import NoOperatingPoint, OperatingNet, OperatingPoint
from vandoc.physics.network.graph import Consumer, Edge, far_end
from vandoc.physics.network.operating import Wiring
from vandoc.physics.network.states import OperatingState, VanInState


class SingleLoads:
    """The wiring without dead-end branches, except those of the running load.

    Parameters
    ----------
    wiring : Wiring
    state : OperatingState
        Chargers that work and positions of relays; all other loads and inverters are off.
    """

    def __init__(self, wiring: Wiring, state: OperatingState) -> None:
        self._wiring = wiring
        self._scene = VanInState(wiring.system, wiring.network, state, frozenset())
        self._devices = self._scene.devices()
        self._inward: dict[str, Edge] = {}  # by removed terminal, the edge towards the rest
        self._core = self._peeled()

    def solve(self, consumer: Consumer) -> OperatingPoint | NoOperatingPoint:
        """Solve the state in which one load or inverter runs; edges without current may be missing."""
        edges = dict(self._core)
        for terminal in (consumer.plus, consumer.minus):
            node = terminal
            while (edge := self._inward.get(node)) is not None:
                edges[edge.id] = (edge.start, edge.end)
                node = far_end(edge, node)
        load = self._scene.drawn(consumer)
        net = OperatingNet(edges, [*self._devices, *([load] if load else [])])
        return net.solve(self._wiring.cold_ohms, self._wiring.warming)

    def _peeled(self) -> dict[str, tuple[str, str]]:
        """Remove, one after another, the terminals with one edge and no device."""
        kept: set[str] = set()
        for device in self._devices:
            kept |= {device.plus, device.minus}
            if isinstance(device, Supply) and device.inlet is not None:
                kept |= {device.inlet.plus, device.inlet.minus}
        edges = {edge.id: edge for edge in self._wiring.network.edges() if self._scene.passes(edge)}
        count: dict[str, int] = {}
        for edge in edges.values():
            for node in (edge.start, edge.end):
                count[node] = count.get(node, 0) + 1
        todo = [node for node, number in count.items() if number == 1 and node not in kept]
        for node in todo:
            left = [edge for edge in self._wiring.network.at(node) if edge.id in edges]
            if not left:
                continue  # its neighbour was removed before it
            edge = left[0]
            del edges[edge.id]
            self._inward[node] = edge
            other = far_end(edge, node)
            count[other] -= 1
            if count[other] == 1 and other not in kept:
                todo.append(other)
        return {ident: (edge.start, edge.end) for ident, edge in edges.items()}
