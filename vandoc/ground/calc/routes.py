"""Conversion between the chains of a network and its wires and nodes."""

from collections.abc import Sequence
from math import fsum
from operator import mul

from vandoc.ground.calc.chains import LiveNetwork


class Routes:
    """Wires and nodes in the chains of a network, in order of calculation.

    Parameters
    ----------
    skeleton : LiveNetwork
    wires : int
        Number of wires, dead ones included.
    """

    def __init__(self, skeleton: LiveNetwork, wires: int) -> None:
        self._count = wires
        self._nodes = len(skeleton.nodes)
        self._junctions = skeleton.junctions
        self._wires = [tuple(wire for wire, _ in chain.wires) for chain in skeleton.chains]
        self._courses: list[tuple[int, int, int]] = []  # chain, wire, 1 if from positive to negative
        self._steps: list[tuple[int, int, int, int]] = []  # node, known node, wire, 1 if to its end
        for number, chain in enumerate(skeleton.chains):
            sign = chain.sign if chain.sign else 1
            self._courses += [(number, wire, direction * sign) for wire, direction in chain.wires]
            near = chain.start
            ahead = len(chain.inner) if chain.device is None else chain.before
            for (wire, direction), node in zip(chain.wires[:ahead], chain.inner[:ahead], strict=True):
                self._steps.append((node, near, wire, direction))
                near = node
            near = chain.end
            for place in range(len(chain.wires) - 1, ahead - 1, -1) if chain.device is not None else ():
                (wire, direction), node = chain.wires[place], chain.inner[place]
                self._steps.append((node, near, wire, -direction))
                near = node
        self._leaves = skeleton.leaves[::-1]

    def ohms(self, ohms: Sequence[float]) -> list[float]:
        """Return the resistance of each chain from the resistance of each wire. [Ω]"""
        of = ohms.__getitem__
        return [fsum(map(of, wires)) for wires in self._wires]

    def wire_amps(self, chain_amps: Sequence[float]) -> list[float]:
        """Return the current of each wire, from its start to its end, from the current of each chain. [A]"""
        amps = [0.0] * self._count
        for chain, wire, direction in self._courses:
            amps[wire] = chain_amps[chain] * direction
        return amps

    def volts(
        self, at_junctions: Sequence[float], wire_amps: Sequence[float], ohms: Sequence[float]
    ) -> list[float]:
        """Return the voltage of each node. [V]"""
        volts = [0.0] * self._nodes
        for node, value in zip(self._junctions, at_junctions, strict=True):
            volts[node] = value
        falls = list(map(mul, wire_amps, ohms))
        for node, known, wire, direction in self._steps:
            volts[node] = volts[known] - falls[wire] * direction
        for node, other in self._leaves:
            volts[node] = volts[other]
        return volts
