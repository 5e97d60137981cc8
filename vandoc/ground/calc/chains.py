"""Reduction of a network to its junctions: elements in series between two junctions carry one current.

Most of a van consists of chains: fuse, cable, load, cable. Only junctions need solving; all other values
follow from the current of the chain.
"""

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from typing import NamedTuple

Ends = tuple[str, str]


class Chain(NamedTuple):  # thousands are made, and a tuple is made faster than a dataclass
    """Series of elements between two junctions, without branches.

    Attributes
    ----------
    start, end : int
        Junctions, as node numbers.
    wires : tuple of (int, int)
        Each wire in order: its number, and 1 if traversed from start to end, −1 if in reverse.
    inner : tuple of int
        The nodes between, in order.
    device : int or None
        The only device in the chain, if any.
    sign : int
        1 if the chain runs from the positive to the negative terminal of the device.
    before : int
        Number of wires before the device.
    """

    start: int
    end: int
    wires: tuple[tuple[int, int], ...]
    inner: tuple[int, ...]
    device: int | None
    sign: int
    before: int


@dataclass(frozen=True)
class LiveNetwork:
    """Live part of a network.

    Attributes
    ----------
    nodes : tuple of str
        All nodes connected to a source.
    junctions : tuple of int
        Nodes to solve for; those of `earths` are 0 V.
    earths : frozenset of int
    chains : tuple of Chain
    leaves : tuple of (int, int)
        Dead-end nodes, each with the node whose voltage it shares, the nearest last.
    dead : frozenset of int
        Devices that connect nothing live, or that connect two separate live parts.
    """

    nodes: tuple[str, ...]
    junctions: tuple[int, ...]
    earths: frozenset[int]
    chains: tuple[Chain, ...]
    leaves: tuple[tuple[int, int], ...]
    dead: frozenset[int]


def skeleton(
    wires: Sequence[Ends],
    devices: Sequence[Ends],
    sources: Collection[int],
    resistances: Collection[int] = (),
) -> LiveNetwork:
    """Find junctions and chains.

    Parameters
    ----------
    wires : sequence of (str, str)
        Start and end of each wire, two different nodes.
    devices : sequence of (str, str)
        Positive and negative node of each battery, supply and load.
    sources : collection of int
        Devices that hold a voltage; a part without one is dead.
    resistances : collection of int
        Devices that conduct like a wire, so that nodes beyond them are live too.

    Returns
    -------
    LiveNetwork

    Examples
    --------
    >>> found = skeleton([("b+", "l+"), ("l-", "b-")], [("b+", "b-"), ("l+", "l-")], [0])
    >>> [(chain.wires, chain.device, chain.sign) for chain in found.chains]
    [(((1, -1), (0, -1)), 1, -1), ((), 0, -1)]
    """
    return _Builder(wires, devices, sources, resistances).skeleton()


class _Builder:
    def __init__(
        self,
        wires: Sequence[Ends],
        devices: Sequence[Ends],
        sources: Collection[int],
        resistances: Collection[int],
    ) -> None:
        joined = [*wires, *(devices[index] for index in (*sources, *resistances))]
        part, earths = _parts(joined, [devices[index][1] for index in sources])
        self.number: Mapping[str, int] = {node: index for index, node in enumerate(part)}
        self.earths = frozenset(self.number[node] for node in earths)
        # An element is a wire, by its number, or a device, by the bitwise complement (~) of its number.
        self.at: list[list[tuple[int, int, int]]] = [[] for _ in part]  # (element, other node, direction)
        for index, (start, end) in enumerate(wires):
            if start in part:
                self._join(index, start, end)
        dead = set()
        for index, (plus, minus) in enumerate(devices):
            if plus in part and part[plus] == part.get(minus) and plus != minus:
                self._join(~index, plus, minus)
            else:
                dead.add(index)
        self.dead = dead
        self.leaves: list[tuple[int, int]] = []
        self.pinned = set(self.earths)
        for index in sources:
            if index not in dead:
                self.pinned.update(self.number[node] for node in devices[index])

    def _join(self, element: int, start: str, end: str) -> None:
        a, b = self.number[start], self.number[end]
        self.at[a].append((element, b, 1))
        self.at[b].append((element, a, -1))

    def skeleton(self) -> LiveNetwork:
        self._drop_leaves()
        junctions = [
            node
            for node, around in enumerate(self.at)
            if node in self.pinned or len(around) > 2 or (len(around) == 2 and max(around)[0] < 0)
        ]
        chains = []
        walked: set[int] = set()
        known = set(junctions)
        for junction in junctions:  # grows during the iteration
            for element, other, direction in self.at[junction]:
                if element not in walked:
                    chain = self._walk(junction, element, other, direction, known, walked)
                    if chain.end not in known:
                        known.add(chain.end)
                        junctions.append(chain.end)
                    chains.append(chain)
        return self._numbered(junctions, chains)

    def _numbered(self, junctions: list[int], chains: list[Chain]) -> LiveNetwork:
        """Renumber the nodes in the order of the chains, for memory locality."""
        order = [*junctions, *(node for chain in chains for node in chain.inner)]
        order += [node for node, _ in reversed(self.leaves)]
        new = {node: number for number, node in enumerate(order)}
        names = list(self.number)
        return LiveNetwork(
            tuple(names[node] for node in order),
            tuple(range(len(junctions))),
            frozenset(new[node] for node in self.earths),
            tuple(
                Chain(
                    new[chain.start],
                    new[chain.end],
                    chain.wires,
                    tuple(new[node] for node in chain.inner),
                    chain.device,
                    chain.sign,
                    chain.before,
                )
                for chain in chains
            ),
            tuple((new[node], new[other]) for node, other in self.leaves),
            frozenset(self.dead),
        )

    def _drop_leaves(self) -> None:
        """Remove dead-end wires repeatedly until none is left."""
        todo = [node for node, around in enumerate(self.at) if len(around) == 1 and node not in self.pinned]
        for node in todo:
            if len(self.at[node]) != 1:
                continue
            element, other, direction = self.at[node].pop()
            self.at[other].remove((element, node, -direction))
            self.leaves.append((node, other))
            if len(self.at[other]) == 1 and other not in self.pinned:
                todo.append(other)

    def _walk(
        self, start: int, element: int, node: int, direction: int, known: set[int], walked: set[int]
    ) -> Chain:
        wires: list[tuple[int, int]] = []
        inner: list[int] = []
        device, sign, before = None, 0, 0
        while True:
            walked.add(element)
            if element < 0:
                device, sign, before = ~element, direction, len(wires)
            else:
                wires.append((element, direction))
            if node in known:
                break
            one, two = self.at[node]
            element, other, direction = two if one[0] == element else one
            if (element < 0 and device is not None) or other == start:
                break  # a second device, or a loop: this node becomes a junction
            inner.append(node)
            node = other
        return Chain(start, node, tuple(wires), tuple(inner), device, sign, before)


def _parts(joined: Sequence[Ends], minus: Sequence[str]) -> tuple[dict[str, int], list[str]]:
    """Label each live node with its part of the wiring; one node of each part is its 0 V reference."""
    around: dict[str, list[str]] = {}
    for a, b in joined:
        around.setdefault(a, []).append(b)
        around.setdefault(b, []).append(a)
    part: dict[str, int] = {}
    earths: list[str] = []
    for start in minus:
        if start in part:
            continue
        part[start] = len(earths)
        todo = [start]
        while todo:
            for other in around[todo.pop()]:
                if other not in part:
                    part[other] = len(earths)
                    todo.append(other)
        earths.append(start)
    return part, earths
