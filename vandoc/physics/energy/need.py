"""Daily energy need by season."""

from collections.abc import Iterator
from math import fsum

from vandoc.ground.calc.battery import full_voltage_v
from vandoc.physics.energy.bank import Bank, BankLoad
from vandoc.physics.energy.figure import Figure, Term, figure, of_range
from vandoc.physics.energy.results import DailyUse, Season

DAYS_PER_MONTH = 365.25 / 12


def uses(bank: Bank, season: Season) -> tuple[DailyUse, ...]:
    """Return the daily need of each consumer with stated hours, and the self-discharge of each battery.

    Parameters
    ----------
    bank : Bank
    season : {"summer", "winter"}

    Returns
    -------
    tuple of DailyUse
        Largest first. [Ah]
    """
    found = [*_stated(bank, season), *_self_discharge(bank)]
    return tuple(sorted(found, key=lambda use: (-use.charge.high, use.owner)))


def total(found: tuple[DailyUse, ...]) -> Figure:
    """Return the sum of all uses. [Ah/d]"""
    terms = tuple(use.charge.as_term(use.owner) for use in found)
    formula = " + ".join(f"{{{use.owner}}}" for use in found)
    return figure("Ah", formula, terms, lambda v: fsum(v.values()), ("hours-as-stated",))


def unstated(bank: Bank) -> tuple[str, ...]:
    """Return the consumers without stated hours."""
    return tuple(draw.owner for draw in bank.draws if draw.hours is None)


def _stated(bank: Bank, season: Season) -> Iterator[DailyUse]:
    for draw in bank.draws:
        if draw.hours is None:
            continue
        hours = draw.hours.summer_h if season == "summer" else draw.hours.winter_h
        terms = (_amps(bank, draw), Term("t", hours, hours, "h"))
        if hours > 0:
            yield DailyUse(draw.owner, hours, figure("Ah", "{I} · {t}", terms, lambda v: v["I"] * v["t"]))


def _amps(bank: Bank, draw: BankLoad) -> Term:
    """Return the current from nominal to full-battery voltage: falls for a power, rises for a resistance."""
    full = max(full_voltage_v(key, bank.nominal_v, bank.cells) for key in bank.chemistries)
    ratio = max(1.0, full / bank.nominal_v)
    low = draw.amps_a / ratio if draw.behaves == "power" else draw.amps_a
    high = draw.amps_a * ratio if draw.behaves == "resistance" else draw.amps_a
    return Term("I", low, high, "A")


def _self_discharge(bank: Bank) -> Iterator[DailyUse]:
    rate = bank.spread(lambda chemistry: chemistry.self_discharge_percent_per_month)
    days = DAYS_PER_MONTH
    terms = (
        Term("C", bank.capacity_ah, bank.capacity_ah, "Ah"),
        of_range("s", rate, "1/month", 0.01),
        Term("n", days, days, "d/month"),
    )
    yield DailyUse(
        bank.batteries[0], 24.0, figure("Ah", "{C} · {s} / {n}", terms, lambda v: v["C"] * v["s"] / v["n"])
    )
