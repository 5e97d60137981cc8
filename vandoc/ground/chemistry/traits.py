"""The traits of a chemistry. None is a value of its own: a trait that is not known never means no."""

from collections.abc import Mapping
from dataclasses import dataclass, field, fields, replace
from typing import Literal

from vandoc.ground.extensions import Package

Family = Literal["lead", "lithium", "sodium", "other"]
Care = Literal["flooded", "AGM", "gel", "lithium"]
Hazard = Literal["gas", "acid", "open cells", "frost", "cold", "lithium cold", "fire", "lithium fire"]


@dataclass(frozen=True)
class Range:
    """Published range, or a single figure given twice; the field that holds it states the unit."""

    low: float
    high: float
    source: str
    from_memory: bool


@dataclass(frozen=True)
class PerCell(Range):
    """A range that is proportional to the cells in series, as published for `cells` of them."""

    cells: int

    def of(self, cells: int) -> Range:
        """Return the range for a number of cells in series."""
        part = cells / self.cells
        return Range(self.low * part, self.high * part, self.source, self.from_memory)


@dataclass(frozen=True)
class RestVoltage:
    """Open-circuit voltage at one state of charge, after hours at rest with nothing connected.

    Cells differ, and rest higher after charging than after discharging: by up to `spread_v` above and below.
    """

    soc_percent: float
    volts_v: float
    source: str
    from_memory: bool
    spread_v: float = 0.0

    @property
    def lowest_v(self) -> float:
        """The lowest voltage at this charge. [V]"""
        return self.volts_v - self.spread_v

    @property
    def highest_v(self) -> float:
        """The highest voltage at this charge. [V]"""
        return self.volts_v + self.spread_v


@dataclass(frozen=True)
class RestCurve:
    """Open-circuit voltage against state of charge, highest first, as published for `cells` in series."""

    cells: int
    points: tuple[RestVoltage, ...]

    def of(self, cells: int) -> tuple[RestVoltage, ...]:
        """Return the curve for a number of cells in series."""
        part = cells / self.cells
        return tuple(
            replace(one, volts_v=one.volts_v * part, spread_v=one.spread_v * part) for one in self.points
        )


@dataclass(frozen=True)
class ColdShare:
    """Part of the capacity that is left at a temperature. [%]"""

    celsius: float
    low_percent: float
    high_percent: float
    source: str
    from_memory: bool


@dataclass(frozen=True)
class Names:
    """What a chemistry is called.

    Attributes
    ----------
    owner, electrician, full : str
        On owners' pages; in findings, lists and drawings; written out.
    family : str
        With "battery" after it: "lithium"; only if all of the family may be called so.
    """

    owner: str
    electrician: str
    full: str
    family: str


@dataclass(frozen=True)
class Chemistry:
    """The traits of a chemistry, at 25 °C unless they say otherwise; the maker's figures take precedence.

    Every trait but the first three may be None or empty: not known.

    Attributes
    ----------
    key : str
        Its name in van files.
    names : Names
    package : Package or None
        The package of others that adds it.
    family : str or None
    cell_v : float or None
        Nominal voltage of a cell. [V]
    cells : mapping
        Cells in series by the nominal voltage on the label, where it is not a multiple of `cell_v`: fewest
        and most, where batteries with this label differ.
    blocks_v, sizes_ah : tuple of float
        Nominal voltages of blocks, and capacities, as they are sold. [V], [Ah]
    gassing : bool or None
        Gives off hydrogen while it charges.
    vented : bool or None
        Cells are open to the air and are topped up with water.
    freezing : bool or None
        The electrolyte of a flat battery can freeze.
    plating : bool or None
        Charging in the cold plates metal inside the cells.
    management : bool or None
        Needs management electronics, which may disconnect it.
    equalising : bool or None
        Equalisation with a raised voltage is permitted.
    flat_curve : bool or None
        The voltage at rest says little about the state of charge.
    blind_percent : Range or None
        Between these states of charge the voltage at rest tells nothing; only of a flat curve. [%]
    first_aid : str or None
        What touches skin and eyes if it leaks: `acid`, or `none` that needs other first aid than any injury.
    fire : str or None
        How it burns: `acid` (its gas explodes and acid sprays) or `runaway` (cells heat each other).
    care : str or None
        Name of the owner's care text.
    stored : str or None
        How it is left for months: `full` or `half` charged.
    tend_months : float or None
        Interval of charging or checking it in storage. [month]
    gas_float_ma_per_ah, gas_boost_ma_per_ah : Range or None
        Current that makes gas while charging with a limited voltage. [mA/Ah]
    absorption_v, float_v : PerCell or None
    equalise_v : PerCell or None
        Equalisation voltage, where it is permitted.
    cut_off_v : PerCell or None
        Voltage below which discharging spoils the cells.
    compensation_mv_per_cell_k : Range or None
        Temperature compensation of the charging voltage; zero if it needs none.
    charge_current_c, largest_charge_current_c : Range or None
        Recommended and largest charge current as multiples of the capacity in ampere-hours. [1/h]
    lowest_charging_c, highest_charging_c, lowest_discharging_c, highest_discharging_c : Range or None
    internal_resistance_mohm : PerCell or None
        Of a battery of 100 Ah, new and warm: lowest for breaking capacity, highest for operating times.
    cold_resistance : Range or None
        Resistance near freezing as a multiple of that at 25 °C. [1]
    charge_efficiency : Range or None
        Charge drawn divided by charge put in. [1]
    charge_acceptance_per_h : Range or None
        Largest charging current divided by the charge still missing.
    cycle_life : Range or None
        Cycles at the low end of the depth of discharge. [1]
    calendar_life_a : Range or None
        Years until worn out, however little it is used.
    rest : RestCurve or None
    cold : tuple of ColdShare
        Warmest first.
    start_charge_c : Range or None
        Current of all chargers together in a starter van file. [1/h]
    start_absorption_v, start_float_v : PerCell or None
        Settings of chargers in a starter van file.
    """

    key: str
    names: Names
    package: Package | None = None
    listed: float = 0
    family: Family | None = None
    cell_v: float | None = None
    cells: Mapping[float, tuple[int, int]] = field(default_factory=dict)
    blocks_v: tuple[float, ...] = ()
    sizes_ah: tuple[float, ...] = ()
    gassing: bool | None = None
    vented: bool | None = None
    freezing: bool | None = None
    plating: bool | None = None
    management: bool | None = None
    equalising: bool | None = None
    flat_curve: bool | None = None
    blind_percent: Range | None = None
    first_aid: Literal["acid", "none"] | None = None
    fire: Literal["acid", "runaway"] | None = None
    care: Care | None = None
    stored: Literal["full", "half"] | None = None
    tend_months: float | None = None
    gas_float_ma_per_ah: Range | None = None
    gas_boost_ma_per_ah: Range | None = None
    absorption_v: PerCell | None = None
    float_v: PerCell | None = None
    equalise_v: PerCell | None = None
    cut_off_v: PerCell | None = None
    compensation_mv_per_cell_k: Range | None = None
    depth_of_discharge_percent: Range | None = None
    charge_current_c: Range | None = None
    largest_charge_current_c: Range | None = None
    lowest_charging_c: Range | None = None
    highest_charging_c: Range | None = None
    lowest_discharging_c: Range | None = None
    highest_discharging_c: Range | None = None
    self_discharge_percent_per_month: Range | None = None
    internal_resistance_mohm: PerCell | None = None
    cold_resistance: Range | None = None
    peukert_exponent: Range | None = None
    charge_efficiency: Range | None = None
    charge_acceptance_per_h: Range | None = None
    cycle_life: Range | None = None
    calendar_life_a: Range | None = None
    rest: RestCurve | None = None
    cold: tuple[ColdShare, ...] = ()
    start_charge_c: Range | None = None
    start_absorption_v: PerCell | None = None
    start_float_v: PerCell | None = None

    def cells_for(self, nominal_v: float, cells: int | None = None) -> tuple[int, int] | None:
        """Return the fewest and most cells in series of a battery with a label; None if not known.

        Parameters
        ----------
        nominal_v : float
            On the label. [V]
        cells : int, optional
            If they are stated, nothing else counts.
        """
        if cells is not None:
            return cells, cells
        if nominal_v in self.cells:
            return self.cells[nominal_v]
        if self.cell_v is None:
            return None
        count = max(1, round(nominal_v / self.cell_v))
        return count, count

    def scaled(self, figure: PerCell | None, nominal_v: float, cells: int | None = None) -> Range | None:
        """Return one of its figures for a label; None if it or the cells in series are not known.

        Where the label leaves the cells open, the fewest count: they limit charging.
        """
        count = self.cells_for(nominal_v, cells)
        return None if figure is None or count is None else figure.of(count[0])

    def most(self, figure: PerCell | None, nominal_v: float, cells: int | None = None) -> Range | None:
        """Return the same for the most cells that the label allows: they decide for fuses and contacts."""
        count = self.cells_for(nominal_v, cells)
        return None if figure is None or count is None else figure.of(count[1])

    def could_be(self, family: Family) -> bool:
        """Return whether it is of a family, or may be of it for all that is known."""
        return self.family in (None, family)

    @property
    def takes_on_charge(self) -> bool:
        """Whether charging raises its voltage for hours, as of lead-acid; no if the family is not known."""
        return self.family == "lead"

    @property
    def hazards(self) -> frozenset[Hazard]:
        """What it could do, for all that is known; people are told of all of it.

        Of `cold` and `fire`, the one for lithium replaces the other if it could be of that family.
        """
        lithium, cold = self.could_be("lithium"), self.plating is not False
        fire = self.fire in (None, "runaway")
        there: dict[Hazard, bool] = {
            "gas": self.gassing is not False,
            "acid": self.first_aid in (None, "acid"),
            "open cells": self.vented is not False,
            "frost": self.freezing is not False,
            "cold": cold and not lithium,
            "lithium cold": cold and lithium,
            "fire": fire and not lithium,
            "lithium fire": fire and lithium,
        }
        return frozenset(hazard for hazard, holds in there.items() if holds)

    @property
    def unknown(self) -> tuple[str, ...]:
        """The traits that are not known, without those of starter van files."""
        skipped = _NOT_ASKED | (_OF_GAS if self.gassing is False else set())
        skipped |= set() if self.flat_curve else {"blind_percent"}
        skipped |= {"equalise_v"} if self.equalising is False else set()
        return tuple(
            one.name
            for one in fields(self)
            if one.name not in skipped and getattr(self, one.name) in (None, ())
        )


_OF_GAS = {"gas_float_ma_per_ah", "gas_boost_ma_per_ah"}
_NOT_ASKED = {"key", "names", "package", "listed", "cells", "blocks_v", "sizes_ah"}
_NOT_ASKED |= {"largest_charge_current_c"}  # the limit of the battery itself is asked for instead
_NOT_ASKED |= {"start_charge_c", "start_absorption_v", "start_float_v"}
