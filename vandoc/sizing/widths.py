"""What fuses and limited sources let through into a cable."""

from collections.abc import Mapping

from vandoc.network.graph import Conductor, FuseLink, Network, far_end


def widths_at(network: Network, conductor: Conductor, ratings: Mapping[str, float]) -> tuple[float, float]:
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
    return _widths(network, conductor, ratings, posts)


def limited_at(network: Network, conductor: Conductor, ratings: Mapping[str, float]) -> tuple[float, float]:
    """Return what a converter, charger, alternator or solar array can send into each end of a cable.

    Parameters
    ----------
    network : Network
    conductor : Conductor
    ratings : mapping
        Fuse ratings by id. [A]

    Returns
    -------
    tuple of float
        For its start and its end: the most of all such sources, each no more than its own limit and the fuses
        on the way. [A]
    """
    start = end = 0.0
    for source in network.sources:
        if source.limit_a is not None:
            at_start, at_end = _widths(network, conductor, ratings, [source.plus])
            start = max(start, min(at_start, source.limit_a))
            end = max(end, min(at_end, source.limit_a))
    return start, end


def fuses_beyond(network: Network, conductor: Conductor, near: str, ratings: Mapping[str, float]) -> float:
    """Return the largest of the fuses that a cable leads to with no fuse between.

    Parameters
    ----------
    network : Network
    conductor : Conductor
    near : str
        The end that a battery reaches without a fuse.
    ratings : mapping
        Fuse ratings by id. [A]

    Returns
    -------
    float
        0 where no fuse follows. [A]
    """
    reached = network.flood(
        [far_end(conductor, near)], lambda edge: edge is not conductor and not isinstance(edge, FuseLink)
    )
    fuses = (link for link in network.fuses.values() if {link.start, link.end} & reached)
    return max((ratings[link.id] for link in fuses), default=0.0)


def _widths(
    network: Network, conductor: Conductor, ratings: Mapping[str, float], posts: list[str]
) -> tuple[float, float]:
    best = network.widest(posts, lambda link: ratings[link.id], lambda edge: edge.id != conductor.id)
    return best.get(conductor.start, 0.0), best.get(conductor.end, 0.0)
