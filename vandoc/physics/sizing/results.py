"""What sizing found out about one van."""

from dataclasses import dataclass
from typing import Literal

from vandoc.ground.calc.capacity import Capacity
from vandoc.ground.calc.drop import Limit
from vandoc.physics.network.currents import SizingState, Solution
from vandoc.physics.network.graph import Conductor, FuseLink

Decided = Literal[
    "given", "fuse and current", "voltage drop", "as its supply", "smallest allowed", "none fits"
]


@dataclass(frozen=True)
class SizedConductor:
    """A cable with what it must carry and what it can.

    Attributes
    ----------
    area_mm2 : float
        Given, or proposed.
    proposed : bool
    decided : str
        What decided a proposed size.
    design_a : float
        The most it carries, of all states. [A]
    ambient_c : float
        The hottest of its places. [°C]
    capacities : tuple of Capacity
        By each basis that knows its insulation; the first decides.
    temperature_c : float
        Of the copper at `design_a`. [°C]
    ohm : float
        At that temperature. [Ω]
    returned_a : float
        For a way back, the most that the fuses of all it serves let through; 0 elsewhere. [A]
    needed_a : float
        What it must carry: its current, and whatever its fuses, or on a way back theirs, let through. [A]
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
        """What it can carry by the basis that decides; 0 where no basis has a figure. [A]"""
        return self.capacities[0].amps_a if self.capacities else 0.0

    @property
    def size(self) -> str:
        """The cross-section as it is written on the reel."""
        return self.conductor.size or f"{self.area_mm2:g} mm²"


@dataclass(frozen=True)
class SizedFuse:
    """A fuse with its rating and what runs through it.

    Attributes
    ----------
    rating_a : float
    proposed : bool
    fits : bool
        False where no rating of its type is large enough.
    design_a, continuous_a, start_a : float
        The most that runs through it; the part of it that lasts; the highest start-up current beyond it. [A]
    """

    link: FuseLink
    rating_a: float
    proposed: bool
    fits: bool
    design_a: float
    continuous_a: float
    start_a: float


@dataclass(frozen=True)
class Drop:
    """The voltage lost between a battery and what it feeds, or a charger and what it charges.

    Attributes
    ----------
    owner : str
        The load or piece.
    kind : str
        The kind of circuit, which decides the limit.
    supply_v, return_v : float
        Lost on the way there and on the way back. [V]
    nominal_v : float
    limit : Limit
    steps : tuple of (edge id, amps, ohms)
        Each cable, fuse and contact on the way.
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
        """Of the nominal voltage. [%]"""
        return 100 * (self.supply_v + self.return_v) / self.nominal_v


@dataclass(frozen=True)
class Sizing:
    """All of it."""

    conductors: dict[str, SizedConductor]
    fuses: dict[str, SizedFuse]
    drops: dict[str, Drop]
    states: dict[SizingState, Solution]
    unfed: tuple[str, ...]
