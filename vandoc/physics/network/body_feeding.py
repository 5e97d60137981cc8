"""Sources that limit their own current and feed a fault to the vehicle body for hours.

A charger, a converter or a panel that is short-circuited gives its limit and no more, so that no fuse sized
for it opens, and it goes on after the battery's fuse has opened. Nothing but its limit protects the return:
the cables there must carry it continuously. A panel returns through the controller that joins its negative to
that of the battery.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from math import fsum

from vandoc.ground.calc.fuse_time import sure_multiple
from vandoc.ground.calc.solar import design_current_a
from vandoc.ground.data import constant
from vandoc.model.system import CompletedSystem
from vandoc.model.traits import CHASSIS
from vandoc.physics.network.extremes import charging_sets
from vandoc.physics.network.graph import Conductor, Edge, FuseLink, Network, Source
from vandoc.physics.network.operating import CableData


@dataclass(frozen=True)
class Feeding:
    """A cable in the return of a fault to the body that limited sources feed for hours.

    Attributes
    ----------
    terminal : str
        The positive terminal of ours that touches the body.
    sources : tuple of str
        What feeds the fault at the same time.
    cable : Conductor
    amps_a, capacity_a : float
        What the cable carries, and what it may carry. [A]
    panels : bool
        Whether the sources are panels.
    """

    terminal: str
    sources: tuple[str, ...]
    cable: Conductor
    amps_a: float
    capacity_a: float
    panels: bool


@dataclass(frozen=True)
class _Limited:
    """A source with its limit [A], the terminals that it feeds, and the cables of ours in its return."""

    owner: str
    limit_a: float
    fed: frozenset[str]
    back: tuple[Conductor, ...]


def find_feeding(
    system: CompletedSystem, network: Network, laid: Mapping[str, CableData], ratings: Mapping[str, float]
) -> tuple[Feeding, ...]:
    """Return each cable of ours in a return that limited sources feed, with the most that it carries.

    Parameters
    ----------
    system : CompletedSystem
    network : Network
    laid : mapping
        The size of each cable, stated or proposed.
    ratings : mapping
        Fuse ratings by id. [A]
    """
    converters = tuple(source for source in network.sources if source.kind == "converter")
    together = [[*charging, *converters] for charging in charging_sets(network)]
    groups = [[_limited(network, source, ratings) for source in sources] for sources in together]
    worst: dict[tuple[str, bool], Feeding] = {}
    for panels, found in [(False, group) for group in groups] + [(True, _panels(system, network))]:
        for feeding in _feeding(network, [one for one in found if one], laid, panels=panels):
            key = feeding.cable.id, panels
            if key not in worst or feeding.amps_a > worst[key].amps_a:
                worst[key] = feeding
    return tuple(worst.values())


def _limited(network: Network, source: Source, ratings: Mapping[str, float]) -> _Limited | None:
    """Return a charger or converter with what it feeds before a fuse that is certain to open."""
    limit = source.limit_a or 0.0
    way = network.path([CHASSIS], source.minus)
    if way is None or not limit:
        return None

    def passes(edge: Edge) -> bool:
        if not isinstance(edge, FuseLink):
            return True
        multiple = sure_multiple(edge.family) or constant("largest fusing multiple").value
        return limit < multiple * ratings[edge.id]

    return _Limited(source.owner, limit, frozenset(network.flood([source.plus], passes)), _ours(way))


def _panels(system: CompletedSystem, network: Network) -> list[_Limited]:
    """Return the panels of each controller that joins, or may join, their negative to the battery's."""
    found = []
    controllers = {source.owner: source for source in network.sources if source.charges_from == "solar"}
    for consumer in network.consumers:
        source = controllers.get(consumer.owner)
        if source is None or source.kind != "charger":
            continue
        if system.equipment[consumer.owner].common_pole() in ("isolated", "positive"):
            continue
        before = network.path([CHASSIS], source.minus)
        live = network.joined(consumer.plus)
        for array in network.sources:
            if array.kind != "solar" or array.plus not in live or before is None:
                continue
            string = network.string(array)
            behind = network.path([consumer.minus], string[-1].minus)
            if behind is not None:
                amps = design_current_a(min(one.limit_a or 0.0 for one in string))
                found.append(_Limited(array.owner, amps, live, _ours([*before, *behind])))
    return found


def _ours(way: list[Edge]) -> tuple[Conductor, ...]:
    return tuple(edge for edge in way if isinstance(edge, Conductor) and not edge.vehicle)


def _feeding(
    network: Network, sources: list[_Limited], laid: Mapping[str, CableData], *, panels: bool
) -> Iterator[Feeding]:
    """Yield what each cable carries for each set of sources that feed one terminal."""
    ours = (cable for cable in network.conductors.values() if not cable.vehicle)
    nodes = dict.fromkeys(node for cable in ours for node in (cable.start, cable.end))
    seen: dict[tuple[str, ...], str] = {}
    for node in nodes:
        if node not in network.negative and (fed := tuple(s.owner for s in sources if node in s.fed)):
            seen.setdefault(fed, node)
    for owners, node in seen.items():
        feeding = [source for source in sources if source.owner in owners]
        for cable in dict.fromkeys(cable for source in feeding for cable in source.back):
            through = [source for source in feeding if cable in source.back]
            amps = fsum(source.limit_a for source in through)
            names = tuple(source.owner for source in through)
            yield Feeding(node, names, cable, amps, laid[cable.id].capacity_a, panels)
