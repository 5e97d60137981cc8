"""Vans as they are met: charge, age, cold, sun, what is on, scatter of resistances, and a meter that is off.

A `World` is one such state of one van, drawn with a seed. All ranges are stated per cell or as shares, so
that they hold for 12, 24 and 48 V. They are at least as wide as the worlds for which the method was first
measured.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from itertools import pairwise
from math import exp, log
from random import Random
from typing import Literal

from vandoc.analysis import Van
from vandoc.ground.calc.battery import rest_voltage, rest_voltage_at
from vandoc.ground.chemistry import RestVoltage
from vandoc.ground.data import rows
from vandoc.model import equipment as eq

Quantity = Literal[
    "charge",
    "nearly full",
    "rest scatter",
    "ageing",
    "taken on, lead",
    "taken on when nearly full, lead",
    "taken on, lithium",
    "taken on when nearly full, lithium",
    "taken on share",
    "alternator",
    "alternator at rest",
    "resting",
    "charger",
    "sun",
    "drawn",
    "load on",
    "alarm on",
    "cut-out",
    "resistance scatter",
    "good terminals",
    "meter gain",
    "reading scatter",
    "open contact",
    "bad connection",
]
TAKEN_ON: dict[bool, tuple[Quantity, Quantity]] = {
    True: ("taken on, lead", "taken on when nearly full, lead"),
    False: ("taken on, lithium", "taken on when nearly full, lithium"),
}
"""What charging adds to the voltage of a cell, and when it is nearly full; by whether it is of lead."""


@dataclass(frozen=True)
class Spread:
    """The range of one quantity of a world.

    Attributes
    ----------
    quantity : str
        One of `Quantity`.
    low, high : float
        In the unit of the quantity.
    unit : str
    source : str
    from_memory : bool
    """

    quantity: str
    low: float
    high: float
    unit: str
    source: str
    from_memory: bool


@dataclass(frozen=True)
class World:
    """One state in which a van may be met.

    Attributes
    ----------
    charge_percent : mapping
        State of charge of each battery. [%]
    rest_v : mapping
        Open-circuit voltage of each battery at that charge. [V]
    taken_on_v : mapping
        What charging adds to it. [V]
    ageing : mapping
        Internal resistance of each battery as a multiple of the usual. [1]
    alternator_share : float
        Voltage of the alternator as a multiple of the usual. [1]
    resting : bool
        Whether the engine's computer lets the alternator rest.
    charger_share : mapping
        Voltage of each charger as a multiple of the one that it is set to. [1]
    sun : float
        Part of full sun on the panels. [1]
    drawn : mapping
        Current of each load as a part of its rated current. [1]
    on : frozenset of str
        The loads that are on beside the one in question.
    cut_out : mapping
        The voltage at which a load stops, as a multiple of its stated minimum. [1]
    ohms : mapping
        Resistance of each cable, fuse and contact as a multiple of the calculated one. [1]
    lugs_ohm : mapping
        What the sound terminals of each cable add. [Ω]
    gain : float
        What the meter shows of a voltage. [1]
    """

    charge_percent: Mapping[str, float]
    rest_v: Mapping[str, float]
    taken_on_v: Mapping[str, float]
    ageing: Mapping[str, float]
    alternator_share: float
    resting: bool
    charger_share: Mapping[str, float]
    sun: float
    drawn: Mapping[str, float]
    on: frozenset[str]
    cut_out: Mapping[str, float]
    ohms: Mapping[str, float]
    lugs_ohm: Mapping[str, float]
    gain: float


def spreads() -> dict[str, Spread]:
    """Return the range of each quantity of a world."""
    return {row.quantity: row for row in rows("world_spreads", Spread)}


def worlds(van: Van, seed: int, count: int) -> tuple[World, ...]:
    """Return worlds of a van.

    Parameters
    ----------
    van : Van
    seed : int
        The same seed gives the same worlds; a proof never takes the one with which trees are made.
    count : int
        1 or more. A world does not depend on how many others are drawn.
    """
    return tuple(_Draw(van, Random(f"{seed} {number}")).world() for number in range(count))


class _Draw:
    def __init__(self, van: Van, pick: Random) -> None:
        self.system, self.network, self.pick, self.spreads = van.system, van.network, pick, spreads()

    def world(self) -> World:
        batteries = self.system.batteries
        charge = {ident: self._between("charge") for ident in batteries}
        smart = any(piece.is_smart() for piece in self.system.of_kind(eq.VehicleSource).values())
        resting = smart and self.pick.random() < self.spreads["resting"].high
        loads = self.system.loads
        edges = [edge.id for edge in self.network.edges()]
        scatter, lugs = self.spreads["resistance scatter"].high, self.spreads["good terminals"]
        return World(
            charge_percent=charge,
            rest_v={ident: self._rest_v(battery, charge[ident]) for ident, battery in batteries.items()},
            taken_on_v={ident: self._taken_on_v(one, charge[ident]) for ident, one in batteries.items()},
            ageing={ident: self._geometric("ageing") for ident in batteries},
            alternator_share=self._between("alternator at rest" if resting else "alternator"),
            resting=resting,
            charger_share={ident: self._between("charger") for ident in self.system.of_kind(eq.Charger)},
            sun=self._between("sun"),
            drawn={ident: self._between("drawn") for ident in loads},
            on=frozenset(ident for ident, load in loads.items() if self._is_on(load.importance)),
            cut_out={ident: self._between("cut-out") for ident in loads},
            ohms={edge: exp(self.pick.gauss(0, scatter)) for edge in edges},
            lugs_ohm={ident: self.pick.uniform(lugs.low, lugs.high) for ident in self.network.conductors},
            gain=1 + self.pick.gauss(0, self.spreads["meter gain"].high),
        )

    def _between(self, quantity: Quantity) -> float:
        spread = self.spreads[quantity]
        return self.pick.uniform(spread.low, spread.high)

    def _geometric(self, quantity: Quantity) -> float:
        spread = self.spreads[quantity]
        return exp(self.pick.uniform(log(spread.low), log(spread.high)))

    def _is_on(self, importance: str) -> bool:
        return self.pick.random() < self.spreads["alarm on" if importance == "critical" else "load on"].high

    def _rest_v(self, battery: eq.Battery, percent: float) -> float:
        """The open-circuit voltage: between the lowest and the highest that is published, and scattered."""
        nominal = battery.nominal_v or self.system.van.nominal_v
        lowest = rest_voltage_at(battery.chemistry, percent, nominal, battery.cells)
        scatter = self.spreads["rest scatter"].high * self._cells(battery)
        spread = 2 * _spread_v(rest_voltage(battery.chemistry, nominal, battery.cells), percent)
        return lowest + self.pick.uniform(0, spread) + self.pick.uniform(-scatter, scatter)

    def _taken_on_v(self, battery: eq.Battery, percent: float) -> float:
        lead = battery.traits.takes_on_charge
        usual, full = (self.spreads[quantity].high for quantity in TAKEN_ON[lead])
        per_cell = usual
        if percent > self.spreads["nearly full"].low:
            per_cell = usual + full if lead else full
        return per_cell * self._cells(battery) * self._between("taken on share")

    def _cells(self, battery: eq.Battery) -> float:
        nominal = battery.nominal_v or self.system.van.nominal_v
        return battery.cells or round(nominal / (battery.traits.cell_v or 2.0))


def _spread_v(table: tuple[RestVoltage, ...], percent: float) -> float:
    """The spread of an open-circuit voltage at a state of charge, between the rows of its table. [V]"""
    for above, below in pairwise(table):
        if percent >= below.soc_percent:
            part = (percent - below.soc_percent) / (above.soc_percent - below.soc_percent)
            return below.spread_v + part * (above.spread_v - below.spread_v)
    return table[-1].spread_v if table else 0.0
