"""Battery-supplied short circuits of a van: currents at any place and in any cable."""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from itertools import chain

from vandoc.ground.calc.elimination import Elimination
from vandoc.physics.network.graph import Edge, Network

Port = tuple[str, str]


@dataclass(frozen=True)
class Cell:
    """A battery as a voltage source [V] with an internal resistance [Ω]."""

    plus: str
    minus: str
    volts: float
    ohm: float


@dataclass(frozen=True)
class Feed:
    """A charger or alternator at its limit, as a current [A] that it delivers whatever the voltage is."""

    plus: str
    minus: str
    amps: float


class ShortCircuits:
    """The wiring with its batteries and without loads, ready for a short circuit at any of several ports.

    Parameters
    ----------
    network : Network
    ohms : mapping
        By cable, fuse or contact. [Ω]
    passes : callable
        Contacts that are closed.
    cells : iterable of Cell
    ports : iterable of (str, str)
        Positive and negative terminals between which a short circuit is assumed.
    feeds : iterable of Feed
        What chargers may add. `current_a` and `amps` are without them; `most_a` and `bounds` look at both.
    """

    def __init__(
        self,
        network: Network,
        ohms: Mapping[str, float],
        passes: Callable[[Edge], bool],
        cells: Iterable[Cell],
        ports: Iterable[Port],
        feeds: Iterable[Feed] = (),
    ) -> None:
        self.ohms = ohms
        self.cells = tuple(cells)
        part, earths = _parts(network, passes, self.cells)
        self._number = {node: number for number, node in enumerate(part)}
        self._edges = {e.id: e for e in network.edges() if passes(e) and e.start in part}
        siemens: dict[tuple[int, int], float] = {}
        amps = [0.0] * len(part)
        for edge in self._edges.values():
            pair = self._pair(edge.start, edge.end)
            siemens[pair] = siemens.get(pair, 0.0) + 1 / ohms[edge.id]
        for cell in self.cells:
            pair = self._pair(cell.plus, cell.minus)
            siemens[pair] = siemens.get(pair, 0.0) + 1 / cell.ohm
            amps[self._number[cell.plus]] += cell.volts / cell.ohm
            amps[self._number[cell.minus]] -= cell.volts / cell.ohm
        fed = [
            port for port in ports if port[0] != port[1] and part.get(port[0], -1) == part.get(port[1], -2)
        ]
        for port in fed:
            siemens.setdefault(self._pair(*port), 0.0)
        self._elimination = Elimination(len(part), tuple(siemens), {self._number[node] for node in earths})
        self._shares = self._elimination.factor(tuple(siemens.values()))
        self._volts = volts = self._elimination.solve(self._shares, amps)
        self.feeds = tuple(f for f in feeds if part.get(f.plus, -1) == part.get(f.minus, -2))
        for feed in self.feeds:
            amps[self._number[feed.plus]] += feed.amps
            amps[self._number[feed.minus]] -= feed.amps
        self._fed = self._elimination.solve(self._shares, amps) if self.feeds else volts
        seen = dict(zip(siemens, self._elimination.resistances(self._shares), strict=True))
        self.levels = {
            port: (volts[self._number[port[0]]] - volts[self._number[port[1]]], seen[self._pair(*port)])
            for port in fed
        }
        """By port with battery supply: its open-circuit voltage [V] and its source resistance [Ω]."""

    def current_a(self, port: Port) -> float:
        """Return the short-circuit current, 0 without battery supply. [A]"""
        volts, ohm = self.levels.get(port, (0.0, 1.0))
        return max(0.0, volts) / ohm

    def most_a(self, port: Port) -> float:
        """Return the short-circuit current with what chargers add to it, 0 without battery supply. [A]"""
        return max(self.current_a(port), self._fed_a(port))

    def _fed_a(self, port: Port) -> float:
        _, ohm = self.levels.get(port, (0.0, 1.0))
        if port not in self.levels:
            return 0.0
        return max(0.0, self._fed[self._number[port[0]]] - self._fed[self._number[port[1]]]) / ohm

    def bounds(self, port: Port, edge_ids: Iterable[str]) -> tuple[dict[str, float], dict[str, float]]:
        """Return the least and the greatest current in given edges, without chargers and with them. [A]"""
        ends = self._ends(edge_ids)
        unit = {self._number[port[0]]: -1.0, self._number[port[1]]: 1.0}
        rises = self._elimination.answer(self._shares, unit, chain.from_iterable(ends.values()))
        found = []
        for volts, fault in ((self._volts, self.current_a(port)), (self._fed, self._fed_a(port))):
            at = {node: volts[node] + fault * rise for node, rise in rises.items()}
            found.append({ident: abs(at[a] - at[b]) / self.ohms[ident] for ident, (a, b) in ends.items()})
        dark, fed = found
        least = {ident: min(amps, fed[ident]) for ident, amps in dark.items()}
        return least, {ident: max(amps, fed[ident]) for ident, amps in dark.items()}

    def _ends(self, edge_ids: Iterable[str]) -> dict[str, tuple[int, int]]:
        edges = [self._edges[ident] for ident in edge_ids]
        return {edge.id: (self._number[edge.start], self._number[edge.end]) for edge in edges}

    def amps(self, port: Port, edge_ids: Iterable[str]) -> dict[str, float]:
        """Return the current in given edges during a short circuit. [A]"""
        fault = self.current_a(port)
        ends = self._ends(edge_ids)
        into = {self._number[port[0]]: -fault, self._number[port[1]]: fault}
        changes = self._elimination.answer(self._shares, into, chain.from_iterable(ends.values()))
        volts = {node: self._volts[node] + change for node, change in changes.items()}
        return {ident: abs(volts[a] - volts[b]) / self.ohms[ident] for ident, (a, b) in ends.items()}

    def _pair(self, a: str, b: str) -> tuple[int, int]:
        i, j = self._number[a], self._number[b]
        return (i, j) if i < j else (j, i)


def _parts(
    network: Network, passes: Callable[[Edge], bool], cells: tuple[Cell, ...]
) -> tuple[dict[str, int], list[str]]:
    """Number the battery-supplied parts by node; one negative terminal of each part is its 0 V."""
    part: dict[str, int] = {}
    earths: list[str] = []
    beside: dict[str, list[str]] = {}
    for cell in cells:
        beside.setdefault(cell.plus, []).append(cell.minus)
        beside.setdefault(cell.minus, []).append(cell.plus)
    for cell in cells:
        if cell.minus in part:
            continue
        todo = [cell.minus]
        while todo:
            for node in sorted(network.flood(todo, passes)):  # fixed order: reproducible sums
                part.setdefault(node, len(earths))
            todo = [n for node in beside if node in part for n in beside[node] if n not in part]
        earths.append(cell.minus)
    return part, earths
