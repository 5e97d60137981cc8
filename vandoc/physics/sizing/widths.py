"""What fuses and limited sources let through into a cable."""

from collections.abc import Mapping

from vandoc.physics.network.graph import Conductor, FuseLink, Network, far_end
from vandoc.physics.network.widest import WidestPaths


class Widths:
    """What sources can send into the ends of cables, each cable taken out in its turn.

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
            if source.limit_a is not None
        ]

    def from_batteries(self, conductor: Conductor) -> tuple[float, float]:
        """Return what batteries can send into each end of a cable before some fuse opens.

        Returns
        -------
        tuple of float
            For its start and its end: the rating of the fuse that limits the worst way from any battery,
            infinity where a way has no fuse, 0 where no battery reaches that end but through the cable
            itself. [A]
        """
        return self._batteries.without(conductor)

    def from_limited(self, conductor: Conductor) -> tuple[float, float]:
        """Return what a converter, charger, alternator or solar array can send into each end of a cable.

        Returns
        -------
        tuple of float
            For its start and its end: the most of all such sources, each no more than its own limit and the
            fuses on the way. [A]
        """
        start = end = 0.0
        for widest, limit in self._limited:
            at_start, at_end = widest.without(conductor)
            start = max(start, min(at_start, limit))
            end = max(end, min(at_end, limit))
        return start, end

    def beyond(self, conductor: Conductor, near: str) -> float:
        """Return the largest of the fuses that a cable leads to with no fuse between.

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
