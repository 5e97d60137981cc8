"""Batteries: care figures by chemistry, open-circuit voltage, internal resistance, prospective current."""

from dataclasses import dataclass
from itertools import pairwise
from types import MappingProxyType

from vandoc.ground.calc.require import positive
from vandoc.ground.data import rows


@dataclass(frozen=True)
class _ChemistryRow:
    chemistry: str
    quantity: str
    unit: str
    low: float
    high: float
    source: str
    from_memory: bool


@dataclass(frozen=True)
class _RestRow:
    chemistry: str
    soc_percent: float
    volts_v: float
    source: str
    from_memory: bool


@dataclass(frozen=True)
class Range:
    """Published range, or a single figure given twice; the field that holds it states the unit."""

    low: float
    high: float
    source: str
    from_memory: bool


@dataclass(frozen=True)
class Chemistry:
    """Care figures of a chemistry, 12 V battery at 25 °C. The manufacturer's figures take precedence."""

    name: str
    cells: int
    """Number of cells in series in a 12 V battery. [1]"""
    absorption_v: Range
    float_v: Range
    compensation_mv_per_cell_k: Range
    depth_of_discharge_percent: Range
    charge_current_c: Range
    """Recommended charge current as a multiple of the capacity in ampere-hours. [1/h]"""
    largest_charge_current_c: Range
    lowest_charging_c: Range
    """Minimum temperature for charging. [°C]"""
    self_discharge_percent_per_month: Range
    internal_resistance_mohm: Range
    """Internal resistance of a 12 V, 100 Ah battery. [mΩ]"""
    peukert_exponent: Range
    charge_efficiency: Range
    """Charge efficiency: charge drawn divided by charge put in. [1]"""
    charge_acceptance_per_h: Range
    """Charge acceptance: largest charging current divided by the charge still missing. [1/h]"""
    cycle_life: Range
    """Cycle life at the low end of the depth of discharge. [1]"""
    calendar_life_a: Range
    """Calendar life: years until worn out, however little it is used. [a]"""


@dataclass(frozen=True)
class RestVoltage:
    """Open-circuit voltage of a 12 V battery at one state of charge."""

    soc_percent: float
    volts_v: float
    source: str
    from_memory: bool


_FIELDS = {
    "absorption": "absorption_v",
    "float": "float_v",
    "temperature compensation": "compensation_mv_per_cell_k",
    "depth of discharge": "depth_of_discharge_percent",
    "charge current": "charge_current_c",
    "largest charge current": "largest_charge_current_c",
    "lowest charging temperature": "lowest_charging_c",
    "self-discharge": "self_discharge_percent_per_month",
    "internal resistance": "internal_resistance_mohm",
    "Peukert exponent": "peukert_exponent",
    "charge efficiency": "charge_efficiency",
    "charge acceptance": "charge_acceptance_per_h",
    "cycle life": "cycle_life",
    "calendar life": "calendar_life_a",
}


def _chemistries() -> dict[str, Chemistry]:
    cells: dict[str, int] = {}
    ranges: dict[str, dict[str, Range]] = {}
    for row in rows("battery_chemistry", _ChemistryRow):
        if row.quantity == "cells":
            cells[row.chemistry] = int(row.low)
        else:
            found = Range(row.low, row.high, row.source, row.from_memory)
            ranges.setdefault(row.chemistry, {})[_FIELDS[row.quantity]] = found
    return {name: Chemistry(name=name, cells=cells[name], **ranges[name]) for name in ranges}


CHEMISTRIES = MappingProxyType(_chemistries())
"""``"flooded"``, ``"AGM"``, ``"gel"``, ``"LiFePO4"``."""


def chemistry_figures(chemistry: str) -> Chemistry:
    """Return the care figures of a chemistry; raise ValueError for an unknown one.

    Examples
    --------
    >>> chemistry_figures("LiFePO4").lowest_charging_c.low
    0.0
    """
    if chemistry not in CHEMISTRIES:
        raise ValueError(f"chemistry must be one of {', '.join(CHEMISTRIES)}, got {chemistry!r}")
    return CHEMISTRIES[chemistry]


def rest_voltage(chemistry: str) -> tuple[RestVoltage, ...]:
    """Return the open-circuit voltage against state of charge for a 12 V battery.

    Parameters
    ----------
    chemistry : str
        A key of ``CHEMISTRIES``.

    Returns
    -------
    tuple of RestVoltage
        Highest state of charge first; after several hours at rest with nothing connected.

    Raises
    ------
    ValueError
        If the chemistry is not known.

    Examples
    --------
    >>> [(row.soc_percent, row.volts_v) for row in rest_voltage("AGM")][:2]
    [(100.0, 12.8), (75.0, 12.6)]

    References
    ----------
    .. [1] BCI open-circuit tables for flooded and VRLA batteries, from memory; for LiFePO4 common practice,
       no source: its curve is so flat that voltage says little about the state of charge.
    """
    chemistry_figures(chemistry)
    return tuple(
        RestVoltage(row.soc_percent, row.volts_v, row.source, row.from_memory)
        for row in rows("battery_rest_voltage", _RestRow)
        if row.chemistry == chemistry
    )


def rest_voltage_at(chemistry: str, soc_percent: float, nominal_v: float) -> float:
    """Return the open-circuit voltage of a battery at any state of charge, by linear interpolation.

    Parameters
    ----------
    chemistry : str
        A key of ``CHEMISTRIES``.
    soc_percent : float
        State of charge, scalar, 0 to 100. [%]
    nominal_v : float
        Nominal voltage, scalar, above 0; taken as units of 12 V in series. [V]

    Returns
    -------
    float
        Voltage, scalar. [V]

    Raises
    ------
    ValueError
        If the chemistry is not known or a number is outside its domain.

    Examples
    --------
    >>> round(rest_voltage_at("AGM", 60.0, 24.0), 2)
    24.84

    References
    ----------
    .. [1] As :func:`rest_voltage`.
    """
    positive("nominal_v", nominal_v)
    if not 0 <= soc_percent <= 100:
        raise ValueError(f"soc_percent must lie in 0 to 100, got {soc_percent!r}")
    table = rest_voltage(chemistry)
    for above, below in pairwise(table):
        if soc_percent >= below.soc_percent:
            part = (soc_percent - below.soc_percent) / (above.soc_percent - below.soc_percent)
            return (below.volts_v + part * (above.volts_v - below.volts_v)) * nominal_v / 12
    raise ValueError(f"the rest voltages of {chemistry} do not reach down to 0 %")


def full_voltage_v(chemistry: str, nominal_v: float) -> float:
    """Return the open-circuit voltage of a full battery.

    Parameters
    ----------
    chemistry : str
        A key of ``CHEMISTRIES``.
    nominal_v : float
        Nominal voltage, scalar, above 0; taken as units of 12 V in series. [V]

    Returns
    -------
    float
        Voltage, scalar. [V]

    Raises
    ------
    ValueError
        If the chemistry is not known or the voltage is not a positive number.

    Examples
    --------
    >>> full_voltage_v("flooded", 24.0)
    25.3

    References
    ----------
    .. [1] As :func:`rest_voltage`.
    """
    return rest_voltage(chemistry)[0].volts_v * positive("nominal_v", nominal_v) / 12


def internal_resistance_ohm(chemistry: str, capacity_ah: float, nominal_v: float) -> float:
    """Return the internal resistance assumed for a battery whose manufacturer gives none.

    Chosen low, so that the prospective current comes out high. It falls with the capacity and rises with the
    number of 12 V units in series.

    Parameters
    ----------
    chemistry : str
        A key of ``CHEMISTRIES``.
    capacity_ah : float
        Capacity, scalar, above 0. [Ah]
    nominal_v : float
        Nominal voltage, scalar, above 0. [V]

    Returns
    -------
    float
        Resistance, scalar. [Ω]

    Raises
    ------
    ValueError
        If the chemistry is not known or a number is not positive.

    Examples
    --------
    >>> internal_resistance_ohm("LiFePO4", 200.0, 12.0)
    0.0015

    References
    ----------
    .. [1] Common practice, no source; see ``CHEMISTRIES[...].internal_resistance_mohm`` for the flag.
    """
    milliohm = chemistry_figures(chemistry).internal_resistance_mohm.low
    smaller, longer = 100 / positive("capacity_ah", capacity_ah), positive("nominal_v", nominal_v) / 12
    return milliohm / 1000 * smaller * longer
