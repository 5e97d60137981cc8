"""Leads of batteries in parallel: open cables and fuses in the same place of each lead are made alike."""

from vandoc.model.system import CompletedSystem
from vandoc.physics.network.graph import Conductor, Edge, FuseLink, Network, far_end

Key = tuple[frozenset[str], str, int]


class Twins:
    """The cables and fuses that must be alike, so that batteries in parallel share the current.

    A lead is followed from its battery as long as nothing branches off.

    Parameters
    ----------
    system : CompletedSystem
    network : Network
    """

    def __init__(self, system: CompletedSystem, network: Network) -> None:
        found: dict[Key, list[Edge]] = {}
        for ident in system.leisure:
            net = network.joined(f"{ident}.+")
            for sign in "+-":
                for number, edge in enumerate(_lead(network, f"{ident}.{sign}")):
                    found.setdefault((net, sign, number), []).append(edge)
        groups = [group for group in found.values() if len(group) > 1]
        self._groups = [group for group in groups if len({type(edge) for edge in group}) == 1]
        self._largest: dict[str, float] = {}

    def level(self, areas: dict[str, float], ratings: dict[str, float]) -> None:
        """Make each open size as large as that of its largest twin so far."""
        for group in self._groups:
            sizes = areas if isinstance(group[0], Conductor) else ratings
            most = max(max(sizes[edge.id], self._largest.get(edge.id, 0.0)) for edge in group)
            for edge in group:
                if _is_open(edge):
                    sizes[edge.id] = self._largest[edge.id] = most


def _is_open(edge: Edge) -> bool:
    if isinstance(edge, Conductor):
        return edge.area_mm2 is None
    return isinstance(edge, FuseLink) and edge.rating_a is None


def _lead(network: Network, node: str) -> list[Edge]:
    found: list[Edge] = []
    while len(ahead := [edge for edge in network.at(node) if edge not in found]) == 1:
        found.append(ahead[0])
        node = far_end(ahead[0], node)
    return [edge for edge in found if isinstance(edge, Conductor | FuseLink)]
