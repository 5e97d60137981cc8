"""Monthly solar yield of the panels of a bank."""

from collections.abc import Iterable
from dataclasses import dataclass
from math import fsum

from vandoc.ground.calc.battery import full_voltage_v
from vandoc.ground.calc.irradiation import STEPS, clearness, course, mean_day, northern_month
from vandoc.ground.calc.panel import cell_temperature_c, panel_power_w
from vandoc.ground.calc.sun import clear_day_kwh, month_extraterrestrial_kwh
from vandoc.ground.data import constant
from vandoc.model.equipment import SolarArray
from vandoc.model.system import CompletedSystem
from vandoc.physics.energy.bank import Bank, BankCharger
from vandoc.physics.energy.figure import Assumption, Figure, Term, figure
from vandoc.physics.energy.results import Season
from vandoc.physics.network.expand import efficiency_of

STEP_H = 24 / STEPS
FORMULA = "{H} · {P} · {k} · (1 − {v}) · (1 − {s}) · {η} / {U}"


@dataclass(frozen=True)
class SunDay:
    """An average day of one charger: the daily total, and the current of each step at both ends of the range.

    Attributes
    ----------
    charge : Figure
        [Ah]
    low_a, high_a : tuple of float
        Shape ``(STEPS,)``. [A]
    """

    charge: Figure
    low_a: tuple[float, ...]
    high_a: tuple[float, ...]


@dataclass(frozen=True)
class _End:
    """One end of the range: conditions of sky, panels and battery."""

    irradiation_kwh: float
    azimuth_deg: float
    air_c: float
    heating: float
    coefficient: float
    losses: float
    shade: float
    voltage_v: float


def season_of(latitude_deg: float, month: int) -> Season:
    """Return the half of the year that a month belongs to.

    Examples
    --------
    >>> season_of(50.0, 4), season_of(-34.0, 4)
    ('summer', 'winter')
    """
    return "summer" if 4 <= northern_month(latitude_deg, month) <= 9 else "winter"


def sun_day(
    system: CompletedSystem, bank: Bank, feed: BankCharger, latitude_deg: float, month: int
) -> SunDay:
    """Return the solar yield of one charger on an average day of a month.

    Parameters
    ----------
    system : CompletedSystem
    bank : Bank
    feed : BankCharger
        A solar charger with its panels, or panels connected directly to the battery.
    latitude_deg : float
        Scalar, within ±66. [°]
    month : int

    Returns
    -------
    SunDay

    Raises
    ------
    ValueError
        If the latitude is outside the range of the solar model.
    """
    sky = clearness(latitude_deg, month)
    outside = month_extraterrestrial_kwh(latitude_deg, month)
    low = _end(system, bank, feed, latitude_deg, month, sky.low * outside, low=True)
    high = _end(system, bank, feed, latitude_deg, month, sky.high * outside, low=False)
    return _day(system, feed, latitude_deg, month, low, high, sky.source)


def clear_day(
    system: CompletedSystem, bank: Bank, feed: BankCharger, latitude_deg: float, month: int
) -> SunDay:
    """Return the yield on a cloudless day; arguments as for :func:`sun_day`."""
    clear = clear_day_kwh(latitude_deg, mean_day(month))
    low = _end(system, bank, feed, latitude_deg, month, clear, low=True)
    high = _end(system, bank, feed, latitude_deg, month, clear, low=False)
    return _day(system, feed, latitude_deg, month, low, high, "Haurwitz 1945, cloudless sky")


def total(figures: Iterable[tuple[str, Figure]]) -> Figure:
    """Return the sum of several chargers' days, each with its name. [Ah]"""
    named = tuple(figures)
    if len(named) == 1:
        return named[0][1]
    terms = tuple(found.as_term(owner) for owner, found in named)
    assumptions = tuple(dict.fromkeys(a for _, found in named for a in found.assumptions))
    formula = " + ".join(f"{{{owner}}}" for owner, _ in named)
    return figure("Ah", formula, terms, lambda v: fsum(v.values()), assumptions)


def mean(figures: Iterable[tuple[int, Figure]]) -> Figure:
    """Return the mean over several months, each with its number. [Ah]"""
    named = tuple(figures)
    terms = tuple(found.as_term(f"month {month}") for month, found in named)
    count = len(terms)
    formula = f"({' + '.join(f'{{{term.symbol}}}' for term in terms)}) / {count}"
    assumptions = tuple(dict.fromkeys(a for _, found in named for a in found.assumptions))
    return figure("Ah", formula, terms, lambda v: fsum(v.values()) / count, assumptions)


def _end(
    system: CompletedSystem,
    bank: Bank,
    feed: BankCharger,
    latitude_deg: float,
    month: int,
    kwh: float,
    *,
    low: bool,
) -> _End:
    end = "low" if low else "high"
    air = "high" if low else "low"
    stated = system.use.shade_percent if system.use else None
    unknown = constant("shade when not stated").value if low else 0.0
    supplies = system.equipment[feed.owner].supplies(bank.nominal_v)
    set_v = supplies.set_v if supplies else None
    absorption = bank.spread(lambda one: one.scaled(one.absorption_v, bank.nominal_v, bank.cells)).high
    resting = min(full_voltage_v(key, bank.nominal_v, bank.cells) for key in bank.chemistries)
    return _End(
        irradiation_kwh=kwh,
        azimuth_deg=180.0 if low else 0.0,
        air_c=constant(f"air by day in {season_of(latitude_deg, month)} {air}").value,
        heating=constant("panel heating on the skin" if low else "panel heating well aired").value,
        coefficient=constant(f"panel power coefficient {end}").value,
        losses=constant(f"panel losses {'high' if low else 'low'}").value,
        shade=unknown if stated is None else stated / 100,
        voltage_v=(set_v or absorption) if low else resting,
    )


def _day(
    system: CompletedSystem,
    feed: BankCharger,
    latitude_deg: float,
    month: int,
    low: _End,
    high: _End,
    source: str,
) -> SunDay:
    arrays = system.of_kind(SolarArray)
    panels = [arrays[name] for name in feed.arrays]
    power = fsum(panel.total_w for panel in panels)
    direct = feed.owner in arrays  # without a controller
    efficiency = 1.0 if direct else efficiency_of(system.equipment[feed.owner])
    ends, currents = [], []
    for end in (low, high):
        hours = 0.0
        watts = [0.0] * STEPS
        for panel in panels:
            rated = panel.total_w
            sun = course(latitude_deg, month, end.irradiation_kwh, abs(panel.tilt_deg), end.azimuth_deg)
            hours += fsum(sun) / 1000 * STEP_H * rated / power
            for step, irradiance in enumerate(sun):
                cell = cell_temperature_c(irradiance, end.air_c, end.heating)
                watts[step] += panel_power_w(rated, irradiance, cell, end.coefficient)
        kept = (1 - end.losses) * (1 - end.shade) * efficiency
        amps = [min(watt * kept / end.voltage_v, feed.amps_a) for watt in watts]
        ideal = hours * power * kept / end.voltage_v
        ends.append((hours, fsum(amps) * STEP_H / ideal if ideal else 1.0))
        currents.append(tuple(amps))
    heat = "Ross 1981 and PVWatts version 5 (NREL/TP-6A20-62641), step by step"
    terms = (
        Term("H", ends[0][0], ends[1][0], "kWh/m²", source),
        Term("P", power, power, "W"),
        Term("k", ends[0][1], ends[1][1], "1", heat, True),
        Term("v", low.losses, high.losses, "1", constant("panel losses high").source),
        Term("s", low.shade, high.shade, "1"),
        Term("η", efficiency, efficiency, "1"),
        Term("U", low.voltage_v, high.voltage_v, "V"),
    )
    charge = figure(
        "Ah",
        FORMULA,
        terms,
        lambda v: v["H"] * v["P"] * v["k"] * (1 - v["v"]) * (1 - v["s"]) * v["η"] / v["U"],
        _assumptions(system, panels),
    )
    return SunDay(charge, currents[0], currents[1])


def _assumptions(system: CompletedSystem, panels: list[SolarArray]) -> tuple[Assumption, ...]:
    tilted = any(panel.tilt_deg for panel in panels)
    stated = system.use is not None and system.use.shade_percent is not None
    return (
        "published-sites",
        "facing-unknown" if tilted else "roof-lies-flat",
        "shade-as-stated" if stated else "shade-not-stated",
        "controller-holds-best-voltage",
    )
