"""Currents that fuses and limited sources let through into a cable."""

from collections.abc import Mapping
from math import fsum

from vandoc.ground.calc.solar import design_current_a
from vandoc.physics.network.graph import Conductor, FuseLink, Network, far_end
from vandoc.physics.network.widest_paths import WidestPaths


class Widths:
    """The fault currents that sources can feed into the ends of each cable, that cable removed.

    Parameters
    ----------
    network : Network
    ratings : mapping
        Fuse ratings by id. [A]
    """

    def __init__(self, network: Network, ratings: Mapping[str, float]) -> None:
        self._network = network
        self._ratings = dict(ratings)
        self._batteries = WidestPaths(network, [battery.plus for battery in network.batteries()], ratings)
        self._limited = [
            (WidestPaths(network, [source.plus], ratings), source.limit_a)
            for source in network.sources
            if source.limit_a is not None and source.kind != "solar"
        ]
        self._solar = [
            (WidestPaths(network, [source.plus], ratings), design_current_a(source.limit_a))
            for source in network.sources
            if source.limit_a is not None and source.kind == "solar"
        ]

    def from_batteries(self, conductor: Conductor) -> tuple[float, float]:
        """Return the battery current possible at each end of a cable before a fuse blows.

        Returns
        -------
        tuple of float
            For its start and its end: the rating of the fuse that limits the worst path from any battery,
            infinity for a path without a fuse, 0 if no battery reaches that end except through the cable
            itself. [A]
        """
        return self._batteries.without(conductor)

    def from_limited(self, conductor: Conductor) -> tuple[float, float]:
        """Return the current that converters, chargers, alternators or panels can feed into each cable end.

        Returns
        -------
        tuple of float
            For its start and its end: the maximum of all such sources, each limited by its own rating and the
            fuses in the path. Panels count together, each with the margin of bright sun. [A]
        """
        start = end = 0.0
        for widest, limit in self._limited:
            at_start, at_end = widest.without(conductor)
            start = max(start, min(at_start, limit))
            end = max(end, min(at_end, limit))
        sunny = [(*widest.without(conductor), limit) for widest, limit in self._solar]
        return (
            max(start, fsum(min(at_start, limit) for at_start, _, limit in sunny)),
            max(end, fsum(min(at_end, limit) for _, at_end, limit in sunny)),
        )

    def beyond(self, conductor: Conductor, near: str) -> float:
        """Return the largest fuse that a cable leads to with no other fuse between.

        Parameters
        ----------
        conductor : Conductor
        near : str
            The end that a battery reaches without a fuse.

        Returns
        -------
        float
            0 where no fuse follows. [A]
        """
        reached = self._network.flood(
            [far_end(conductor, near)], lambda edge: edge is not conductor and not isinstance(edge, FuseLink)
        )
        edges = (edge for node in reached for edge in self._network.at(node))
        return max((self._ratings[edge.id] for edge in edges if isinstance(edge, FuseLink)), default=0.0)
