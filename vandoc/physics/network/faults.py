"""Short circuits: prospective current, fuse that blows, operating time, short-circuit withstand of cables."""

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from math import fsum, inf
from typing import Literal

from vandoc.ground.calc.fuse_time import OpeningTime, opening_time, sure_multiple
from vandoc.ground.calc.protection import adiabatic_k_for, adiabatic_time_s
from vandoc.model.system import CompletedSystem
from vandoc.physics.network.extremes import Extremes
from vandoc.physics.network.graph import Conductor, Consumer, Edge, FuseLink, Network, Source
from vandoc.physics.network.operating import CableData, FuseData

Verdict = Literal["in time", "not shown", "too late", "unseen", "no fuse", "limited", "no fault current"]
MAKER = "manufacturer's figure"
BRIEF_S = 5.0  # adiabatic limit: no heat loss from the cable; IEC 60364-4-43, 434.5.2, from memory


@dataclass(frozen=True)
class FuseInFault:
    """A fuse in the path of a short circuit.

    Attributes
    ----------
    link : FuseLink
    rating_a : float
    largest_a, smallest_a : float
        Its maximum and minimum fault current. [A]
    at_largest, at_smallest : OpeningTime or None
        None if the time-current characteristic of its family is not known.
    """

    link: FuseLink
    rating_a: float
    largest_a: float
    smallest_a: float
    at_largest: OpeningTime | None
    at_smallest: OpeningTime | None


@dataclass(frozen=True)
class CableInFault:
    """A cable that carries the fault current until a fuse blows.

    Attributes
    ----------
    conductor : Conductor
    largest_a, smallest_a : float
        Its maximum and minimum fault current. [A]
    withstand_largest_s, withstand_smallest_s : float
        Withstand time; heat loss is neglected, so above 5 s the true time is longer. [s]
    """

    conductor: Conductor
    largest_a: float
    smallest_a: float
    withstand_largest_s: float
    withstand_smallest_s: float


@dataclass(frozen=True)
class EndFault:
    """A short circuit at the terminals of a consumer.

    Attributes
    ----------
    owner : str
        The load or item of equipment.
    largest_a : float
        Maximum: full batteries, cold conductors, every contact closed. [A]
    smallest_a : float
        Minimum: nearly discharged, aged leisure batteries, hot conductors, split-charge relays open. [A]
    largest_v, smallest_v : float
        Source voltage at no load; 0 if no battery supplies it. [V]
    fuses : tuple of FuseInFault
        From the battery on; the last one blows.
    cables : tuple of CableInFault
        All supply and return conductors of the path.
    verdict : str
        ``"in time"``: the last fuse is certain to blow before any cable is damaged. ``"too late"``: it is
        certain not to. ``"not shown"``: its characteristic is unknown or inconclusive. ``"unseen"``: the
        minimum current may not blow the fuse at all. ``"limited"``: only panels or a converter supply it, and
        every cable carries their maximum current continuously. ``"no fuse"``, ``"no fault current"``: none.
    discrimination : tuple of (str, str, bool)
        Neighbouring fuses, the upstream one first, and whether they are shown to be selective.
    """

    owner: str
    largest_a: float
    smallest_a: float
    largest_v: float
    smallest_v: float
    fuses: tuple[FuseInFault, ...]
    cables: tuple[CableInFault, ...]
    verdict: Verdict
    discrimination: tuple[tuple[str, str, bool], ...]


@dataclass(frozen=True)
class Faults:
    """All calculated short circuits.

    Attributes
    ----------
    at_fuse_a : dict
        The maximum fault current at each fuse, with what chargers, converters and the alternator add, by its
        id. [A]
    at_end : dict
        The short circuit at the terminals of each consumer, by its id.
    """

    at_fuse_a: dict[str, float]
    at_end: dict[str, EndFault]


def fuses_in_fault(
    way: Iterable[Edge], ratings: Mapping[str, float], most: Mapping[str, float], least: Mapping[str, float]
) -> tuple[FuseInFault, ...]:
    """Return the fuses of a way with their operating times at the largest and smallest currents.

    Parameters
    ----------
    way : iterable of Edge
    ratings, most, least : mapping
        Fuse ratings and fault currents by id. [A]
    """
    return tuple(
        _fuse(link, ratings[link.id], most[link.id], least[link.id])
        for link in way
        if isinstance(link, FuseLink)
    )


def _fuse(link: FuseLink, rating_a: float, most_a: float, least_a: float) -> FuseInFault:
    times = [operating_time(link, rating_a, amps) for amps in (most_a, least_a)]
    return FuseInFault(link, rating_a, most_a, least_a, times[0], times[1])


def operating_time(link: FuseLink, rating_a: float, amps: float) -> OpeningTime | None:
    """Return the operating time of a fuse by its type, or by its manufacturer if that is shorter. [A]"""
    known, states = opening_time(link.family, rating_a, amps), link.by_maker
    if states.opens_at_a is None or states.opens_within_s is None or amps < states.opens_at_a:
        return known
    if known is None:
        return OpeningTime(0.0, states.opens_within_s, MAKER, from_memory=False)
    if known.longest_s <= states.opens_within_s:
        return known
    return replace(known, longest_s=states.opens_within_s, source=f"{known.source}; {MAKER}")


def cables_in_fault(
    way: Iterable[Edge], laid: Mapping[str, CableData], most: Mapping[str, float], least: Mapping[str, float]
) -> tuple[CableInFault, ...]:
    """Return the cables of a way with their withstand times at the largest and smallest currents.

    Parameters
    ----------
    way : iterable of Edge
    laid : mapping
        The size of each cable.
    most, least : mapping
        Fault currents by id. [A]
    """
    return tuple(
        _cable(conductor, laid[conductor.id].area_mm2, most[conductor.id], least[conductor.id])
        for conductor in way
        if isinstance(conductor, Conductor)
    )


def _cable(conductor: Conductor, area_mm2: float, most_a: float, least_a: float) -> CableInFault:
    k = adiabatic_k_for(conductor.insulation_c)
    stands = [adiabatic_time_s(area_mm2, k, amps) if amps > 0 else inf for amps in (most_a, least_a)]
    return CableInFault(conductor, most_a, least_a, stands[0], stands[1])


def find_faults(
    system: CompletedSystem,
    network: Network,
    conductors: Mapping[str, CableData],
    fuses: Mapping[str, FuseData],
) -> Faults:
    """Calculate a short circuit at each fuse and at the terminals of each consumer, fed by the batteries.

    Parameters
    ----------
    system : CompletedSystem
    network : Network
    conductors, fuses : mapping
        The size of each cable and the rating of each fuse, stated or proposed.
    """
    return _Finder(system, network, conductors, fuses).find()


Paths = Callable[[str], list[Edge] | None]


class _Finder:
    def __init__(
        self,
        system: CompletedSystem,
        network: Network,
        conductors: Mapping[str, CableData],
        fuses: Mapping[str, FuseData],
    ) -> None:
        self.system, self.network, self.laid = system, network, conductors
        self.ratings = {ident: fuse.rating_a for ident, fuse in fuses.items()}
        self.extremes = Extremes(system, network, conductors, self.ratings)
        self.limited = [s for s in network.sources if s.kind in ("converter", "solar")]
        self.from_batteries = self._paths(network.batteries())
        self.from_limited = self._paths(self.limited)
        minus = [battery.minus for battery in network.batteries()]
        ends = [(c.plus, c.minus) for c in network.consumers]
        at_fuses = [(node, m) for f in network.fuses.values() for node in (f.start, f.end) for m in minus]
        self.largest = self.extremes.largest([*ends, *at_fuses])
        self.smallest = self.extremes.smallest(ends)

    def find(self) -> Faults:
        at_fuse = dict.fromkeys(self.network.fuses, 0.0)
        for battery in self.network.batteries():
            for ident, link in self.network.fuses.items():
                for node in (link.start, link.end):
                    at_fuse[ident] = max(at_fuse[ident], self.largest.most_a((node, battery.minus)))
        at_end = {consumer.owner: self._at_end(consumer) for consumer in self.network.consumers}
        for end in at_end.values():  # supplied by a converter only
            for fuse in end.fuses:
                at_fuse[fuse.link.id] = max(at_fuse[fuse.link.id], fuse.largest_a)
        return Faults(at_fuse, at_end)

    def _at_end(self, consumer: Consumer) -> EndFault:
        port = (consumer.plus, consumer.minus)
        there, back = self._ways(consumer, self.from_batteries)
        ids = [edge.id for edge in (*there, *back)]
        most, least = self.largest.current_a(port), self.smallest.current_a(port)
        if least > 0:
            through = self.largest.amps(port, ids), self.smallest.amps(port, ids)
            found = self._judged(consumer, most, least, (there, back), through)
            open_v = self.largest.levels[port][0], self.smallest.levels[port][0]
            return replace(found, largest_v=open_v[0], smallest_v=open_v[1])
        there, back = self._ways(consumer, self.from_limited)
        feeding = [
            s
            for s in self.limited
            if s.plus == consumer.plus or any(s.plus in (e.start, e.end) for e in there)
        ]
        amps = fsum(source.limit_a or 0.0 for source in feeding)
        if not amps:
            return EndFault(consumer.owner, most, 0.0, 0.0, 0.0, (), (), "no fault current", ())
        alike = dict.fromkeys((edge.id for edge in (*there, *back)), amps)
        found = self._judged(consumer, amps, amps, (there, back), (alike, alike))
        if all(amps <= self.laid[cable.conductor.id].capacity_a for cable in found.cables):
            return replace(found, verdict="limited")
        return found

    def _ways(self, consumer: Consumer, paths: tuple[Paths, Paths]) -> tuple[list[Edge], list[Edge]]:
        there, back = paths
        return there(consumer.plus) or [], back(consumer.minus) or []

    def _paths(self, sources: Sequence[Source]) -> tuple[Paths, Paths]:
        """Return functions that find the supply and return paths of any consumer."""
        there = self.network.paths([source.plus for source in sources], self.extremes.closed)
        return there, self.network.paths([source.minus for source in sources], self.extremes.closed)

    def _judged(
        self,
        consumer: Consumer,
        most: float,
        least: float,
        ways: tuple[list[Edge], list[Edge]],
        through: tuple[dict[str, float], dict[str, float]],
    ) -> EndFault:
        there, back = ways
        largest, smallest = through
        fuses = fuses_in_fault(there, self.ratings, largest, smallest)
        cables = cables_in_fault((*there, *back), self.laid, largest, smallest)
        pairs = tuple((up.link.id, low.link.id, _lower_alone(up, low)) for up, low in pairwise(fuses))
        return EndFault(consumer.owner, most, least, 0.0, 0.0, fuses, cables, _verdict(fuses, cables), pairs)


def _verdict(fuses: tuple[FuseInFault, ...], cables: tuple[CableInFault, ...]) -> Verdict:
    if not fuses:
        return "no fuse"
    last = fuses[-1]
    sure = sure_multiple(last.link.family)
    if sure is not None and last.smallest_a < sure * last.rating_a:
        return "unseen"
    if last.at_largest is None or last.at_smallest is None:
        return "not shown"
    pairs = [(last.at_largest, cable.withstand_largest_s) for cable in cables]
    pairs += [(last.at_smallest, cable.withstand_smallest_s) for cable in cables]
    if all(time.longest_s <= stands for time, stands in pairs):
        return "in time"
    if any(time.shortest_s > stands for time, stands in pairs if stands <= BRIEF_S):
        return "too late"
    return "not shown"


def _lower_alone(upper: FuseInFault, lower: FuseInFault) -> bool:
    """Return whether the downstream fuse blows first, at maximum and at minimum current."""
    for low, high in ((lower.at_largest, upper.at_largest), (lower.at_smallest, upper.at_smallest)):
        if low is None or high is None or low.longest_s >= high.shortest_s:
            return False
    return True
