"""The two ends of a short circuit: the batteries at their strongest, and at their weakest."""

from collections.abc import Iterable, Mapping
from math import fsum

from vandoc.ground.calc.battery import cold_resistance, full_voltage_v, rest_voltage_at
from vandoc.ground.calc.conductor import resistance_per_metre
from vandoc.ground.data import constant
from vandoc.model.system import CompletedSystem
from vandoc.physics.network.currents import Resistances, battery_resistance_ohm
from vandoc.physics.network.graph import Edge, Network, Source, any_edge, splits_charge
from vandoc.physics.network.operating import CableData
from vandoc.physics.network.short_circuits import Cell, Feed, Port, ShortCircuits

COLD_C = 20.0  # conductor temperature for the maximum current; IEC 60909-0, 2.4, from memory


def charging_sets(network: Network) -> tuple[tuple[Source, ...], tuple[Source, ...]]:
    """Return what can charge at the same time while parked, and with the engine running."""
    chargers = [source for source in network.sources if source.kind in ("charger", "alternator")]
    parked = tuple(source for source in chargers if source.charges_from in ("mains", "solar"))
    driving = tuple(source for source in chargers if source.charges_from != "mains")
    return parked, driving


def _total(feeds: Iterable[Feed]) -> float:
    return fsum(feed.amps for feed in feeds)


class Extremes:
    """The wiring of a van, ready for short circuits at their largest and at their smallest.

    Largest: full batteries, cold conductors, every contact closed. Smallest: nearly discharged, aged leisure
    batteries, hot conductors, split-charge relays open, earth joints at the largest resistance that
    commissioning accepts.

    Parameters
    ----------
    system : CompletedSystem
    network : Network
    conductors : mapping
        The size of each cable, stated or proposed.
    ratings : mapping
        Fuse ratings by id. [A]
    """

    def __init__(
        self,
        system: CompletedSystem,
        network: Network,
        conductors: Mapping[str, CableData],
        ratings: Mapping[str, float],
    ) -> None:
        self.system, self.network, self.laid, self.ratings = system, network, conductors, ratings

    def largest(self, ports: Iterable[Port]) -> ShortCircuits:
        """Return the short circuits at given ports with the batteries at their strongest."""
        cells, feeds = self._cells(weak=False), max(map(self._feeds, charging_sets(self.network)), key=_total)
        return ShortCircuits(self.network, self._ohms(weak=False), any_edge, cells, ports, feeds)

    def smallest(self, ports: Iterable[Port]) -> ShortCircuits:
        """Return the short circuits at given ports with the batteries at their weakest."""
        cells, feeds = self._cells(weak=True), self._feeds(charging_sets(self.network)[0])
        return ShortCircuits(self.network, self._ohms(weak=True), self.closed, cells, ports, feeds)

    def _feeds(self, sources: Iterable[Source]) -> list[Feed]:
        converters = (source for source in self.network.sources if source.kind == "converter")
        return [Feed(source.plus, source.minus, source.fault_a) for source in (*sources, *converters)]

    def closed(self, edge: Edge) -> bool:
        """Whether an edge conducts without the engine: any but a relay that connects two batteries."""
        return not splits_charge(edge)

    def _ohms(self, *, weak: bool) -> dict[str, float]:
        ohms = {}
        for conductor in self.network.conductors.values():
            laid = self.laid[conductor.id]
            copper_c = max(conductor.insulation_c, laid.ambient_c) if weak else COLD_C
            ohms[conductor.id] = resistance_per_metre(laid.area_mm2, copper_c) * conductor.length_m
        resistances = Resistances(self.system, ohms, self.ratings)
        found = {edge.id: resistances.of(edge) for edge in self.network.edges()}
        if weak:
            worst = constant("largest earth joint").value
            joints = (joint for joint in self.network.joints.values() if joint.kind == "earth")
            found |= {joint.id: max(worst, found[joint.id]) for joint in joints}
        return found

    def _cells(self, *, weak: bool) -> list[Cell]:
        cells, batteries = [], self.system.batteries
        for source in self.network.batteries():
            piece = batteries[source.owner]
            volts = full_voltage_v(piece.chemistry, source.nominal_v, piece.cells)
            ohm = battery_resistance_ohm(piece, self.system.van.nominal_v, end="high" if weak else "low")
            if weak:
                ohm *= constant("aged battery resistance").value * cold_resistance(piece.chemistry)
                if piece.role == "leisure":
                    charge = constant("nearly empty").value
                    volts = rest_voltage_at(piece.chemistry, charge, source.nominal_v, piece.cells)
            cells.append(Cell(source.plus, source.minus, volts, ohm))
        return cells
