"""A positive conductor that touches the vehicle body: the fuse that must open, the return that must last.

The fault current returns through the body and its real joints: earth points, bonds, busbars and shunts, back
to the battery. The body itself and the fault are taken as having no resistance, so that an arc or a painted
edge gives less current than calculated.

Chargers and alternators add their limit to the fault. The cautious end counts: fuses are given the lesser of
their currents with and without chargers, returns the greater. What goes on after a fuse has opened is
calculated in `body_feeding.py`.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from math import isfinite
from typing import Literal

from vandoc.ground.calc.fuse_time import let_through_a2s, sure_multiple
from vandoc.ground.calc.protection import adiabatic_k_for
from vandoc.ground.data import constant
from vandoc.model.system import CompletedSystem
from vandoc.model.traits import CHASSIS
from vandoc.physics.network.bonds import leisure_batteries
from vandoc.physics.network.extremes import Extremes
from vandoc.physics.network.faults import CableInFault, FuseInFault, cables_in_fault, fuses_in_fault
from vandoc.physics.network.graph import Edge, Network, Source
from vandoc.physics.network.operating import CableData, FuseData
from vandoc.physics.network.short_circuits import Port, ShortCircuits

Survival = Literal["survives", "burns", "not known"]


@dataclass(frozen=True)
class ReturnPart:
    """A cable in the return of a fault to the body.

    Attributes
    ----------
    cable : CableInFault
    survives : str
        ``"survives"``: until the fuse has opened, even at its slowest. ``"burns"``: not if the fuse is as
        slow as its gates permit. ``"not known"``: no gates are known, and the fuse is rated above its
        capacity.
    heat_a2s, withstand_a2s : float
        The largest I²t that the fuses let through, and the one that the cable withstands. [A²·s]
    """

    cable: CableInFault
    survives: Survival
    heat_a2s: float
    withstand_a2s: float


@dataclass(frozen=True)
class BodyFault:
    """A positive terminal of ours that touches the body.

    Attributes
    ----------
    terminal : str
    source : str
        The battery, or the converter at its limit, that supplies the fault current.
    largest_a, smallest_a : float
        Maximum and minimum current at the fault. [A]
    fuses : tuple of FuseInFault
        In series, from the battery on; empty before the first fuse, where only distance protects.
    opens : bool or None
        Whether a fuse is certain to open at the minimum current; None if its gates are not known.
    parts : tuple of ReturnPart
        The cables of the workshop's in the return.
    """

    terminal: str
    source: str
    largest_a: float
    smallest_a: float
    fuses: tuple[FuseInFault, ...]
    opens: bool | None
    parts: tuple[ReturnPart, ...]


@dataclass(frozen=True)
class BodyFaults:
    """All calculated faults to the body.

    Attributes
    ----------
    faults : tuple of BodyFault
        For each battery and converter, every positive terminal of ours that it supplies.
    unbonded : tuple of str
        Leisure batteries without a path from the body to their negative terminal.
    """

    faults: tuple[BodyFault, ...]
    unbonded: tuple[str, ...]


def find_body_faults(
    system: CompletedSystem,
    network: Network,
    conductors: Mapping[str, CableData],
    fuses: Mapping[str, FuseData],
) -> BodyFaults:
    """Calculate a short circuit to the body at every positive terminal that a battery supplies.

    Parameters
    ----------
    system : CompletedSystem
    network : Network
    conductors, fuses : mapping
        The size of each cable and the rating of each fuse, stated or proposed.
    """
    return _Finder(system, network, conductors, fuses).find()


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
        ports = [(node, CHASSIS) for node in self._live()]
        self.largest = self.extremes.largest(ports)
        self.smallest = self.extremes.smallest(ports)

    def find(self) -> BodyFaults:
        batteries = self.network.batteries()
        faults = [fault for battery in batteries for fault in self._faults(battery)]
        faults += [fault for source in self.network.sources for fault in self._limited(source)]
        leisure = leisure_batteries(self.system, self.network)
        unbonded = [b.owner for b in leisure if CHASSIS not in self.network.joined(b.minus)]
        return BodyFaults(tuple(faults), tuple(unbonded))

    def _live(self) -> list[str]:
        """Return the terminals at which a cable of ours is live from a battery."""
        return self._ours(self.network.flood([b.plus for b in self.network.batteries()]))

    def _ours(self, live: set[str]) -> list[str]:
        ours = (c for c in self.network.conductors.values() if not c.vehicle)
        nodes = dict.fromkeys(node for c in ours for node in (c.start, c.end))
        return [node for node in nodes if node in live and node not in self.network.negative]

    def _faults(self, battery: Source) -> Iterator[BodyFault]:
        back = self.network.path([CHASSIS], battery.minus, self.extremes.closed)
        parked = self.network.paths([battery.plus], self.extremes.closed)
        driving = self.network.paths([battery.plus])
        if back is None:
            return
        for node in self._live():
            port, supply = (node, CHASSIS), parked(node)
            if supply and self.smallest.current_a(port) > 0:
                yield self._fault(battery, port, (supply, back), self.smallest)
            elif (supply := driving(node)) and self.largest.current_a(port) > 0:
                yield self._fault(battery, port, (supply, back), self.largest)

    def _fault(
        self, battery: Source, port: Port, ways: tuple[list[Edge], list[Edge]], weakest: ShortCircuits
    ) -> BodyFault:
        ids = [edge.id for way in ways for edge in way]
        strong, weak = self.largest.bounds(port, ids), weakest.bounds(port, ids)
        fuses, _ = self._along(ways, strong[0], weak[0])
        _, cables = self._along(ways, strong[1], weak[1])
        parts = tuple(self._part(cable, fuses) for cable in cables) if fuses else ()
        currents = self.largest.most_a(port), weakest.current_a(port)
        return BodyFault(port[0], battery.owner, *currents, fuses, _opens(fuses), parts)

    def _limited(self, source: Source) -> Iterator[BodyFault]:
        """Yield the faults behind a converter, which supplies no more than its limit, but that for hours."""
        limit = source.limit_a
        back = self.network.path([CHASSIS], source.minus)
        if source.kind != "converter" or not limit or not back:
            return
        to = self.network.paths([source.plus])
        for node in self._ours(self.network.flood([source.plus])):
            supply = to(node) or []
            alike = dict.fromkeys((edge.id for edge in (*supply, *back)), limit)
            fuses, cables = self._along((supply, back), alike, alike)
            carried = [(cable, self.laid[cable.conductor.id].capacity_a >= limit) for cable in cables]
            parts = tuple(
                ReturnPart(cable, "survives", 0.0, self._withstand(cable))
                if cool
                else self._part(cable, fuses)
                for cable, cool in carried
                if cool or fuses
            )
            yield BodyFault(node, source.owner, limit, limit, fuses, True, parts)

    def _along(
        self, ways: tuple[list[Edge], list[Edge]], most: Mapping[str, float], least: Mapping[str, float]
    ) -> tuple[tuple[FuseInFault, ...], list[CableInFault]]:
        """Return the fuses of a supply and the cables of ours in its return, with their currents."""
        supply, back = ways
        cables = cables_in_fault(back, self.laid, most, least)
        ours = [cable for cable in cables if not cable.conductor.vehicle]
        return fuses_in_fault(supply, self.ratings, most, least), ours

    def _withstand(self, cable: CableInFault) -> float:
        conductor = cable.conductor
        return (adiabatic_k_for(conductor.insulation_c) * self.laid[conductor.id].area_mm2) ** 2

    def _part(self, cable: CableInFault, fuses: tuple[FuseInFault, ...]) -> ReturnPart:
        capacity, withstand = self.laid[cable.conductor.id].capacity_a, self._withstand(cable)
        heats = [heat for pair in _cases(cable) if (heat := _heat(fuses, *pair)) is not None]
        heats = [heat for heat in heats if isfinite(heat)]  # otherwise the fuse is found not to open
        heat = max(heats, default=0.0)
        if any(_deemed(fuse, capacity) for fuse in fuses):
            return ReturnPart(cable, "survives", heat, withstand)
        if not heats:
            return ReturnPart(cable, "not known", heat, withstand)
        return ReturnPart(cable, "survives" if heat <= withstand else "burns", heat, withstand)


def _cases(cable: CableInFault) -> tuple[tuple[bool, float], tuple[bool, float]]:
    """Return the current in a cable at the largest fault, and at the smallest."""
    return (True, cable.largest_a), (False, cable.smallest_a)


def _heat(fuses: tuple[FuseInFault, ...], largest: bool, cable_a: float) -> float | None:
    """Return the largest I²t in a cable until the first of the fuses in series opens; None if unknown."""
    found = []
    for fuse in fuses:
        amps, time = (fuse.largest_a, fuse.at_largest) if largest else (fuse.smallest_a, fuse.at_smallest)
        melting = let_through_a2s(fuse.link.family, fuse.rating_a, amps)
        if time is None or melting is None or not amps:
            continue
        seconds = min(time.longest_s, melting / amps**2) + constant("arcing time of a fuse").value
        found.append(cable_a**2 * seconds)
    return min(found, default=None)


def _deemed(fuse: FuseInFault, capacity_a: float) -> bool:
    """Whether a fuse that protects a cable against overload is taken to protect it in a short circuit too.

    IEC 60364-4-43:2008, 435.1, from memory; its breaking capacity is checked by a rule of its own.
    """
    sure = sure_multiple(fuse.link.family) or 1.0
    return (
        fuse.rating_a <= capacity_a
        and sure * fuse.rating_a <= constant("overload multiple").value * capacity_a
    )


def _opens(fuses: tuple[FuseInFault, ...]) -> bool | None:
    """Return whether one of the fuses is certain to open at the minimum current; None if not known."""
    unknown = constant("largest fusing multiple").value
    sure = [(fuse, sure_multiple(fuse.link.family)) for fuse in fuses]
    if any(fuse.smallest_a >= (multiple or unknown) * fuse.rating_a for fuse, multiple in sure):
        return True
    return None if any(multiple is None for _, multiple in sure) or not sure else False
