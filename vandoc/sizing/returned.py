"""What fuses let through into the ways back."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from math import inf

from vandoc.network.graph import Conductor, Edge, FuseLink, Network


@dataclass(frozen=True)
class Way:
    """The way from a battery or converter to what it feeds, and the way back."""

    supply: tuple[Edge, ...]
    back: tuple[Edge, ...]


def returned(network: Network, ways: Iterable[Way], ratings: Mapping[str, float]) -> dict[str, float]:
    """Return the most that a short circuit or an overload sends back through each cable for long.

    Parameters
    ----------
    network : Network
    ways : iterable of Way
        All that is fed.
    ratings : mapping
        Fuse ratings by id. [A]

    Returns
    -------
    dict
        Cable id to the rating of the smallest fuse that all it serves have in common, or to the sum of their
        own fuses where that is less; a converter counts with its limit. Infinity where something has neither
        fuse nor limit; cables that serve nothing are missing. [A]
    """
    limits = {s.plus: (s.owner, s.limit_a) for s in network.sources if s.kind == "converter" and s.limit_a}
    served: dict[str, list[dict[str, float]]] = {}
    for way in ways:
        stops = {edge.id: ratings[edge.id] for edge in way.supply if isinstance(edge, FuseLink)}
        for node in (way.supply[0].start, way.supply[0].end):
            if node in limits:
                owner, amps = limits[node]
                stops[owner] = amps
        for edge in way.back:
            if isinstance(edge, Conductor):
                served.setdefault(edge.id, []).append(stops)
    return {ident: _let_through(users) for ident, users in served.items()}


def _let_through(users: list[dict[str, float]]) -> float:
    shared = set.intersection(*(set(stops) for stops in users))
    common = min((users[0][name] for name in shared), default=inf)
    own: dict[str, float] = {}
    for number, stops in enumerate(users):
        nearest = min(stops, key=lambda name: stops[name], default=None)
        own[nearest or f"no fuse {number}"] = stops[nearest] if nearest else inf
    return min(common, sum(own.values()))
