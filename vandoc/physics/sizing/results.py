"""Results of sizing a van."""

from dataclasses import dataclass
from typing import Literal

from vandoc.ground.calc.capacity import Capacity
from vandoc.ground.calc.conductor import size_name
from vandoc.ground.calc.drop import Limit
from vandoc.ground.calc.fuse import ambient_fuse_factor
from vandoc.physics.network.currents import SizingState, Solution
from vandoc.physics.network.graph import Conductor, FuseLink

Decided = Literal[
    "given", "fuse and current", "voltage drop", "start", "as its supply", "smallest allowed", "none fits"
]


@dataclass(frozen=True)
class SizedConductor:
    """A cable with its required current and its current-carrying capacity.

    Attributes
    ----------
    area_mm2 : float
        Given or proposed.
    proposed : bool
    decided : str
        The criterion that decided a proposed size.
    design_a : float
        Design current: the maximum of all states. [A]
    ambient_c : float
        Highest ambient temperature along the cable. [°C]
    capacities : tuple of Capacity
        One per basis with a figure for its insulation; the first decides.
    temperature_c : float
        Conductor temperature at `design_a`. [°C]
    ohm : float
        At that temperature. [Ω]
    returned_a : float
        For a return conductor, the maximum that the fuses of all its loads let through; otherwise 0. [A]
    needed_a : float
        Required capacity: design current, and the current let through by its own or its loads' fuses. [A]
    """

    conductor: Conductor
    area_mm2: float
    proposed: bool
    decided: Decided
    design_a: float
    ambient_c: float
    capacities: tuple[Capacity, ...]
    temperature_c: float
    ohm: float
    returned_a: float
    needed_a: float

    @property
    def capacity_a(self) -> float:
        """Current-carrying capacity by the deciding basis; 0 if no basis has a figure. [A]"""
        return self.capacities[0].amps_a if self.capacities else 0.0

    @property
    def size(self) -> str:
        """The cross-section as marked on the cable."""
        return self.conductor.size or size_name(self.area_mm2)


@dataclass(frozen=True)
class SizedFuse:
    """A fuse with its rating and its currents.

    Attributes
    ----------
    rating_a : float
    proposed : bool
    fits : bool
        False where no rating of its type is large enough.
    design_a, continuous_a, start_a : float
        Maximum current; the continuous part of it; the highest starting current downstream. [A]
    ambient_c : float
        Highest temperature of its place. [°C]
    start_rating_a : float
        Of a proposed fuse, the rating that carries every start through it as solved; otherwise 0. [A]
    """

    link: FuseLink
    rating_a: float
    proposed: bool
    fits: bool
    design_a: float
    continuous_a: float
    start_a: float
    ambient_c: float = 30.0
    start_rating_a: float = 0.0

    @property
    def ambient_factor(self) -> float:
        """The part of its rating that it carries at its place. [1]"""
        return ambient_fuse_factor(self.ambient_c)


@dataclass(frozen=True)
class Drop:
    """The voltage drop between a battery and a consumer, or between a charger and its battery.

    Attributes
    ----------
    owner : str
        The load or item of equipment.
    kind : str
        The kind of circuit, which determines the limit.
    supply_v, return_v : float
        Drop in the supply and in the return. [V]
    nominal_v : float
    limit : Limit
    steps : tuple of (edge id, amps, ohms)
        Each cable, fuse and contact in the path.
    """

    owner: str
    kind: str
    supply_v: float
    return_v: float
    nominal_v: float
    limit: Limit
    steps: tuple[tuple[str, float, float], ...]

    @property
    def percent(self) -> float:
        """Drop as a percentage of the nominal voltage. [%]"""
        return 100 * (self.supply_v + self.return_v) / self.nominal_v


@dataclass(frozen=True)
class Sizing:
    """All sizing results of a van.

    Attributes
    ----------
    unfed : tuple of str
        Consumers without a source.
    settled : bool
        False if proposed sizes still changed when the calculation was stopped.
    """

    conductors: dict[str, SizedConductor]
    fuses: dict[str, SizedFuse]
    drops: dict[str, Drop]
    states: dict[SizingState, Solution]
    unfed: tuple[str, ...]
    settled: bool
