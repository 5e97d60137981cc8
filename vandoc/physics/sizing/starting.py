"""What devices that start ask of open sizes: fuses that carry it, cables that stay cool, enough voltage."""

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass
from math import fsum

from vandoc.ground.calc.drop import Limit
from vandoc.ground.calc.fuse import standard_ratings
from vandoc.ground.calc.protection import adiabatic_k_between, adiabatic_time_s
from vandoc.ground.calc.starting import carried_at_start_a
from vandoc.ground.data import constant
from vandoc.model.system import CompletedSystem
from vandoc.physics import limits
from vandoc.physics.network.graph import Conductor, Consumer, Edge, FuseLink, Network
from vandoc.physics.network.operating import CableData, SolvedState, Wiring
from vandoc.physics.network.starts import Start, starts
from vandoc.physics.sizing.results import Drop

ROUNDING = 1 + 1e-6


@dataclass(frozen=True)
class Fitted:
    """A fuse with a provisional rating."""

    rating_a: float


@dataclass(frozen=True)
class SolvedStart:
    """A device that is starting, with the wiring solved at provisional sizes."""

    start: Start
    consumer: Consumer
    solved: SolvedState


def passes(start: Start, amps: float) -> bool:
    """Whether most of a starting current passes somewhere, and not the current of other loads alone. [A]"""
    return amps > start.amps_a / 2


class Starting:
    """What starts behind the open fuses and cables of a van, and the sizes found for it so far.

    Parameters
    ----------
    system : CompletedSystem
    network : Network

    Attributes
    ----------
    ratings : dict
        By open fuse, the rating that carries every start through it. [A]
    areas : dict
        By open cable, the smallest size that every start permits. [mm²]
    """

    def __init__(self, system: CompletedSystem, network: Network) -> None:
        self.system, self.network = system, network
        self.starts = starts(system, network)
        self.ratings: dict[str, float] = {}
        self.areas: dict[str, float] = {}

    def solved(self, laid: Mapping[str, CableData], ratings: Mapping[str, float]) -> list[SolvedStart]:
        """Return the starts that have an operating point at provisional sizes."""
        fitted = {ident: Fitted(rating) for ident, rating in ratings.items()}
        wiring = Wiring(self.system, self.network, laid, fitted)
        consumers = {consumer.owner: consumer for consumer in self.network.consumers}
        found = ((start, wiring.solve_start(start)) for start in self.starts)
        return [
            SolvedStart(start, consumers[start.owner], solved)
            for start, solved in found
            if isinstance(solved, SolvedState)
        ]

    def raise_fuses(self, starting: list[SolvedStart]) -> bool:
        """Enlarge open fuses to what carries every start; return whether one grew."""
        before = dict(self.ratings)
        for link in self.network.fuses.values():
            if link.rating_a is None:
                self.ratings[link.id] = max(before.get(link.id, 0.0), fuse_rating_a(starting, link))
        return any(rating > before.get(ident, 0.0) for ident, rating in self.ratings.items())

    def raise_cables(
        self,
        starting: list[SolvedStart],
        cables: Iterable[Conductor],
        laid: Mapping[str, CableData],
        at_size: Callable[[Conductor, float], CableData],
    ) -> bool:
        """Enlarge open cables until no stated start overheats them; return whether one grew."""
        raised = False
        for conductor in cables:
            present = laid[conductor.id].area_mm2
            sizes = (area for area in limits.cable_sizes(self.system) if area >= present - 1e-6)
            cool = (area for area in sizes if stays_cool(starting, conductor, at_size(conductor, area)))
            if (area := next(cool, 0.0)) > max(present, self.areas.get(conductor.id, 0.0)):
                self.areas[conductor.id] = area
                raised = True
        return raised

    def drops(
        self, starting: list[SolvedStart], ways: Mapping[str, tuple[list[Edge], list[Edge]]]
    ) -> Iterator[Drop]:
        """Yield the voltage that each start loses, with a limit that leaves the device what it needs.

        Parameters
        ----------
        starting : list of SolvedStart
        ways : mapping
            Supply and return of each device, by its name.
        """
        usual = constant("lowest voltage of a load")
        for one in starting:
            stated = self.system.things[one.start.owner].least_v()
            least = usual.value * one.consumer.nominal_v if stated is None else stated
            volts = one.solved.across_v(one.consumer.plus, one.consumer.minus)
            supply, back = ways.get(one.start.owner, ([], []))
            if volts is None or volts >= least or not supply or not back:
                continue
            amps, ohms = one.solved.amps, one.solved.ohms
            steps = tuple((edge.id, abs(amps[edge.id]), ohms[edge.id]) for edge in (*supply, *back))
            lost = [current * ohm for _, current, ohm in steps]
            there, behind = fsum(lost[: len(supply)]), fsum(lost[len(supply) :])
            spare = there + behind - (least - volts) * ROUNDING
            limit = Limit(100 * spare / one.consumer.nominal_v, "", usual.source, usual.from_memory)
            yield Drop(one.start.owner, "start", there, behind, one.consumer.nominal_v, limit, steps)


def fuse_rating_a(starting: list[SolvedStart], link: FuseLink) -> float:
    """Return the smallest standard rating that carries every start through a fuse; 0 without one. [A]

    If none does, it is the largest of its family.
    """
    needed, made = 0.0, standard_ratings(link.family)
    for one in starting:
        amps = abs(one.solved.amps[link.id])
        if passes(one.start, amps):
            fit = (r for r in made if carried_at_start_a(link.family, r, one.start.time_s) * ROUNDING >= amps)
            needed = max(needed, next(fit, made[-1]))
    return needed


def stays_cool(starting: list[SolvedStart], conductor: Conductor, cable: CableData) -> bool:
    """Whether no stated start warms a cable beyond its rating.

    From the temperature of its place, without heat loss.
    """
    for one in starting:
        amps = abs(one.solved.amps[conductor.id])
        if not one.start.stated or amps <= cable.capacity_a * ROUNDING:
            continue
        if conductor.insulation_c <= cable.ambient_c:
            return False
        k = adiabatic_k_between(cable.ambient_c, conductor.insulation_c)
        if one.start.time_s > adiabatic_time_s(cable.area_mm2, k, amps) * ROUNDING:
            return False
    return True
