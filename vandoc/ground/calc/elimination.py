"""Sparse elimination of the nodes of a network: ordered once, reused for any conductances.

Nodes are eliminated one at a time, fewest neighbours first, each replaced by equivalent conductances
between its neighbours (star-mesh transform). This is the sparse L·D·Lᵀ factorisation of the conductance
matrix in minimum degree order, written so that conductances are only added, multiplied and divided: no
cancellation between a fuse of microohms and a load of kiloohms. Time grows nearly in proportion to the
number of nodes on tree-like networks.
"""

from collections.abc import Collection, Iterable, Mapping, Sequence
from functools import cached_property
from heapq import heapify, heappop, heappush
from math import fsum
from typing import NamedTuple


class NotPositive(ValueError):  # noqa: N818 (the name says what is wrong)
    """The conductance matrix is not positive definite: a node floats, or a load draws more than can flow."""


class EliminatedNode(NamedTuple):  # thousands are made, and a tuple is made faster than a dataclass
    """One eliminated node.

    Attributes
    ----------
    node : int
    others : tuple of int
        Its remaining neighbours.
    slots : tuple of int
        Storage index of the conductance to each of them.
    meshes : tuple of (int, int, int)
        Positions in `others` of two neighbours, and the storage index of the conductance between them.
    """

    node: int
    others: tuple[int, ...]
    slots: tuple[int, ...]
    meshes: tuple[tuple[int, int, int], ...]


Shares = list[tuple[float, tuple[float, ...]]]
"""For each step: the total conductance of its node to those left, and the share of each neighbour in it."""


class Elimination:
    """Elimination order of the nodes of one structure.

    Parameters
    ----------
    count : int
        Nodes, numbered from 0.
    pairs : sequence of (int, int)
        Pairs of different nodes connected by a conductance, each pair once in one direction.
    earths : collection of int
        Nodes at 0 V.

    References
    ----------
    .. [1] Star-mesh transform and minimum degree order: textbook methods, from memory.
    """

    def __init__(self, count: int, pairs: Sequence[tuple[int, int]], earths: Collection[int]) -> None:
        self._count = count
        self._pairs = tuple(pairs)
        self._earths = frozenset(earths)
        self._to_earth: list[tuple[int, int]] = []  # number of a pair and its node that is not earthed
        rows: list[dict[int, int]] = [{} for _ in range(count)]
        for slot, (a, b) in enumerate(pairs):
            if a in earths or b in earths:
                if not (a in earths and b in earths):
                    self._to_earth.append((slot, b if a in earths else a))
            else:
                rows[a][b] = rows[b][a] = slot
        self._fill = 0
        self.steps = self._order(rows, len(pairs), set(earths))

    def _order(self, rows: list[dict[int, int]], pairs: int, out: set[int]) -> list[EliminatedNode]:
        heap = [(len(row), node) for node, row in enumerate(rows) if node not in out]
        heapify(heap)
        steps = []
        while heap:
            degree, node = heappop(heap)
            row = rows[node]
            if node in out or degree != len(row):
                continue
            out.add(node)
            others = tuple(row)
            meshes = []
            for first, other in enumerate(others):
                target = rows[other]
                del target[node]
                for second in range(first + 1, len(others)):
                    third = others[second]
                    slot = target.get(third)
                    if slot is None:
                        slot = target[third] = rows[third][other] = pairs + self._fill
                        self._fill += 1
                    meshes.append((first, second, slot))
            for other in others:
                heappush(heap, (len(rows[other]), other))
            steps.append(EliminatedNode(node, others, tuple(row.values()), tuple(meshes)))
        return steps

    def factor(self, conductances: Sequence[float]) -> Shares:
        """Factorise the conductance matrix of a network.

        Parameters
        ----------
        conductances : sequence of float
            One for each pair; negative for a load that draws less at a higher voltage. [S]

        Returns
        -------
        list
            Factors for `solve`.

        Raises
        ------
        NotPositive
            If the matrix is not positive definite.
        """
        kept = [*conductances, *([0.0] * self._fill)]
        earthed = [0.0] * self._count
        for slot, node in self._to_earth:
            earthed[node] += kept[slot]
        shares: Shares = []
        for step in self.steps:
            node, others, slots = step.node, step.others, step.slots
            to_earth = earthed[node]
            if len(slots) == 1:
                conductance = kept[slots[0]]
                total = conductance + to_earth
                if not total > 0:
                    raise NotPositive(f"node {node}")
                share = conductance / total
                earthed[others[0]] += share * to_earth
                shares.append((total, (share,)))
                continue
            values = [kept[slot] for slot in slots]
            total = fsum(values) + to_earth
            if not total > 0:
                raise NotPositive(f"node {node}")
            parts = tuple([value / total for value in values])
            if to_earth:
                for other, share in zip(others, parts, strict=True):
                    earthed[other] += share * to_earth
            for first, second, slot in step.meshes:
                kept[slot] += parts[first] * values[second]
            shares.append((total, parts))
        return shares

    def solve(self, shares: Shares, currents: Sequence[float]) -> list[float]:
        """Return the voltage of each node.

        Parameters
        ----------
        shares : list
            From `factor`.
        currents : sequence of float
            Current injected into each node. [A]

        Returns
        -------
        list of float
            Against earth. [V]
        """
        left = list(currents)
        for step, (_, parts) in zip(self.steps, shares, strict=True):
            amps = left[step.node]
            if amps:
                for other, share in zip(step.others, parts, strict=True):
                    left[other] += share * amps
        volts = [0.0] * self._count
        for step, (total, parts) in zip(reversed(self.steps), reversed(shares), strict=True):
            value = left[step.node] / total
            for other, share in zip(step.others, parts, strict=True):
                value += share * volts[other]
            volts[step.node] = value
        return volts

    def answer(self, shares: Shares, currents: Mapping[int, float], nodes: Iterable[int]) -> dict[int, float]:
        """Return the voltages of a few nodes that result from currents injected into a few nodes.

        Parameters
        ----------
        shares : list
            From `factor`.
        currents : mapping
            By node. [A]
        nodes : iterable of int

        Returns
        -------
        dict
            By node, including those requested; earthed nodes are 0. [V]
        """
        left = dict(currents)
        for number in self._upwards(currents):
            step, (_, parts) = self.steps[number], shares[number]
            amps = left[step.node]
            for other, share in zip(step.others, parts, strict=True):
                left[other] = left.get(other, 0.0) + share * amps
        volts = dict.fromkeys(self._earths, 0.0)
        for number in reversed(self._upwards(nodes)):
            step, (total, parts) = self.steps[number], shares[number]
            value = left.get(step.node, 0.0) / total
            for other, share in zip(step.others, parts, strict=True):
                value += share * volts[other]
            volts[step.node] = value
        return volts

    def _upwards(self, nodes: Iterable[int]) -> list[int]:
        """Return the steps that eliminate the given nodes, and the later steps they affect, in order."""
        todo = [self._step_of[node] for node in nodes if node in self._step_of]
        found = set(todo)
        for number in todo:
            for other in self.steps[number].others:
                after = self._step_of[other]
                if after not in found:
                    found.add(after)
                    todo.append(after)
        return sorted(found)

    @cached_property
    def _step_of(self) -> dict[int, int]:
        return {step.node: number for number, step in enumerate(self.steps)}

    def resistances(self, shares: Shares) -> list[float]:
        """Return the resistance seen between the two nodes of each pair.

        A pair may have a conductance of 0, to query a place without an element. One sweep serves all pairs:
        only those entries of the inverse matrix are formed that the elimination visited.

        Parameters
        ----------
        shares : list
            From `factor`.

        Returns
        -------
        list of float
            One for each pair. [Ω]

        References
        ----------
        .. [1] Selected inversion of a sparse matrix (Takahashi, Fagan and Chin, 1973); from memory.
        """
        own = [0.0] * self._count
        mutual = [0.0] * (len(self._pairs) + self._fill)
        for step, (total, parts) in zip(reversed(self.steps), reversed(shares), strict=True):
            found = [part * own[other] for part, other in zip(parts, step.others, strict=True)]
            for first, second, slot in step.meshes:
                found[first] += parts[second] * mutual[slot]
                found[second] += parts[first] * mutual[slot]
            for slot, value in zip(step.slots, found, strict=True):
                mutual[slot] = value
            own[step.node] = 1 / total + fsum(map(float.__mul__, parts, found))
        return [
            own[a] + own[b] - (0.0 if a in self._earths or b in self._earths else 2 * mutual[slot])
            for slot, (a, b) in enumerate(self._pairs)
        ]
