"""The fuse that protects a cable against a lasting overload, and the capacity that it asks of the cable."""

from collections.abc import Mapping

from vandoc.ground.calc.fuse_time import ConventionalCurrent, conventional_current
from vandoc.ground.data import constant
from vandoc.model.system import CompletedSystem
from vandoc.physics.network.graph import Conductor, FuseLink, Network


def conventional(system: CompletedSystem, link: FuseLink) -> ConventionalCurrent | None:
    """Return the multiple of its rating at which a fuse surely opens: the stated one, or its family's.

    Parameters
    ----------
    system : CompletedSystem
    link : FuseLink

    Returns
    -------
    ConventionalCurrent or None
        Without a source if the van file states it; None if neither is known.
    """
    stated = system.equipment[link.owner].opens_at()
    if stated is not None:
        return ConventionalCurrent(stated, "", from_memory=False)
    if link.family == "breaker":
        usual = constant("conventional current of a breaker")
        return ConventionalCurrent(usual.value, usual.source, usual.from_memory)
    return conventional_current(link.family)


def operates_at(current: ConventionalCurrent | None) -> float:
    """Return the multiple of its rating that counts for a fuse: the largest of any, if its own is unknown."""
    return current.multiple if current else constant("largest fusing multiple").value


class ProtectingFuses:
    """The fuses of a van by what they are rated for, so that each cable finds its own in a few look-ups.

    Parameters
    ----------
    network : Network
    ratings : mapping
        By fuse. [A]
    """

    def __init__(self, network: Network, ratings: Mapping[str, float]) -> None:
        self._network = network
        self.ratings = dict(ratings)
        self._of: dict[float, list[FuseLink]] = {}
        for link in network.fuses.values():
            self._of.setdefault(ratings[link.id], []).append(link)

    def of(self, conductor: Conductor, needed_a: float) -> FuseLink | None:
        """Return the fuse whose rating a cable must carry; one at its ends comes first. [A]"""
        amps = [rated for rated in self._of if abs(rated - needed_a) <= 1e-6 * needed_a]
        edges = (edge for node in (conductor.start, conductor.end) for edge in self._network.at(node))
        own = [edge for edge in edges if isinstance(edge, FuseLink) and self.ratings[edge.id] in amps]
        if own:
            return min(own, key=lambda link: self._network.fuse_order[link.id])
        # The limit of a converter may be the rating of a fuse that its output is not connected to.
        net = self._network.joined(conductor.start)
        others = [link for rated in amps for link in self._of[rated] if link.start in net]
        return min(others, key=lambda link: self._network.fuse_order[link.id], default=None)


def overload_needs_a(
    system: CompletedSystem, fuses: ProtectingFuses, conductor: Conductor, needed_a: float
) -> float:
    """Return the capacity with which I₂ ≤ 1.45 · I_z holds for the fuse that protects a supply. [A]

    Parameters
    ----------
    system : CompletedSystem
    fuses : ProtectingFuses
    conductor : Conductor
    needed_a : float
        What it must carry otherwise. [A]

    Returns
    -------
    float
        0 if no fuse protects it. [A]

    References
    ----------
    .. [1] IEC 60364-4-43:2008 433.1, from memory.
    """
    link = fuses.of(conductor, needed_a)
    if link is None or conductor.signal:
        return 0.0
    return (
        operates_at(conventional(system, link)) * fuses.ratings[link.id] / constant("overload multiple").value
    )
