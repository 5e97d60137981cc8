"""What fuses let through into a cable."""

from collections.abc import Mapping

from vandoc.network.graph import Conductor, Network


def widths_at(network: Network, conductor: Conductor, ratings: Mapping[str, float]) -> tuple[float, ...]:
    """Return what batteries can send into each end of a cable before some fuse opens.

    Parameters
    ----------
    network : Network
    conductor : Conductor
    ratings : mapping
        Fuse ratings by id. [A]

    Returns
    -------
    tuple of float
        For its start and its end: the rating of the fuse that limits the worst way from any battery, infinity
        where a way has no fuse, 0 where no battery reaches that end but through the cable itself. [A]
    """
    posts = [battery.plus for battery in network.batteries()]
    best = network.widest(posts, lambda link: ratings[link.id], lambda edge: edge.id != conductor.id)
    return best.get(conductor.start, 0.0), best.get(conductor.end, 0.0)
