"""Charging time and daily charge of each charging source."""

from collections.abc import Iterable
from dataclasses import replace
from math import inf, log

from vandoc.ground.calc.charge import Battery, ChargePoint, course
from vandoc.ground.data import constant
from vandoc.physics.energy.bank import Bank, BankCharger
from vandoc.physics.energy.figure import Assumption, Figure, Term, figure, of_range
from vandoc.physics.energy.results import Charging
from vandoc.physics.energy.sunshine import STEP_H, SunDay

CURVE_H = 48.0
SUN_DAYS = 30
STEADY_STEP_H = 0.1
TO_FULL_FORMULA = "({M} − {T}) / ({I} · {η}) + ln({T} / {E}) / ({r} · {η})"


def steady(bank: Bank, feed: BankCharger, amps: Term, need: Figure, hours: float | None) -> Charging:
    """Return the charging of a bank by the engine or the hook-up.

    Parameters
    ----------
    bank : Bank
    feed : BankCharger
    amps : Term
        Maximum output, as a range. [A]
    need : Figure
        Daily need; its mean is subtracted from the current at the low end. [Ah]
    hours : float or None
        Hours a day. [h]

    Returns
    -------
    Charging
    """
    loads = Term("V", need.high, 0.0, "Ah")
    said: tuple[Assumption, ...] = ("loads-run-while-charging",)
    if feed.source == "relay":
        said = (*said, "relay-current-from-wiring")
    current = figure("A", "{I} − {V} / 24", (amps, loads), lambda v: max(0.0, v["I"] - v["V"] / 24), said)
    slow, quick = _battery(bank, low=True), _battery(bank, low=False)
    start = _start(bank)
    return Charging(
        feed,
        current,
        _to_full(bank, current),
        None if hours is None else _per_day(bank, current, hours),
        course(quick, start.high, [current.high], STEADY_STEP_H, CURVE_H),
        course(slow, start.low, [current.low], STEADY_STEP_H, CURVE_H),
    )


def by_sun(bank: Bank, feed: BankCharger, best: SunDay, worst: SunDay, need: Figure) -> Charging:
    """Return solar charging of a bank: cloudless days of the best month to average days of the worst.

    Parameters
    ----------
    bank : Bank
    feed : BankCharger
    best, worst : SunDay
        The cloudless day for the fast end, the average day for the slow end.
    need : Figure
        Daily need; subtracted at the low end. [Ah]

    Returns
    -------
    Charging
    """
    start = _start(bank)
    horizon = SUN_DAYS * 24.0
    drawn = need.high / 24
    quick = course(_battery(bank, low=False), start.high, best.high_a, STEP_H, horizon)
    slow = course(_battery(bank, low=True), start.low, [a - drawn for a in worst.low_a], STEP_H, horizon)
    terms = (
        _missing(bank),
        Term("S", worst.charge.low, best.charge.high, "Ah"),
        Term("V", need.high, 0.0, "Ah"),
        _acceptance(bank),
        _efficiency(bank),
    )
    said: tuple[Assumption, ...] = (
        "one-step-at-a-time",
        "charge-begins-at-the-depth-limit",
        "loads-run-while-charging",
        *worst.charge.assumptions,
    )
    to_full = Figure(_days(slow), _days(quick), "d", "", terms, said)
    return Charging(feed, None, replace(to_full, low=to_full.high, high=to_full.low), None, quick, slow)


def _to_full(bank: Bank, current: Figure) -> Figure:
    """Return the hours to full at a steady current; the slow end is the high one. [h]"""
    full = constant("full charge").value
    missing, acceptance, efficiency = _missing(bank), _acceptance(bank), _efficiency(bank)
    end = Term("E", (1 - full) * bank.capacity_ah, (1 - full) * bank.capacity_ah, "Ah")
    turns = [
        min(m, max(end.low, i / r))
        for m, i, r in (
            (missing.low, current.low, acceptance.low),
            (missing.high, current.high, acceptance.high),
        )
    ]
    terms = (
        missing,
        Term("T", turns[0], turns[1], "Ah"),
        current.as_term("I"),
        end,
        acceptance,
        efficiency,
    )

    def hours(v: dict[str, float]) -> float:
        if v["I"] == 0:
            return inf
        return (v["M"] - v["T"]) / (v["I"] * v["η"]) + log(v["T"] / v["E"]) / (v["r"] * v["η"])

    slow_first = figure(
        "h",
        TO_FULL_FORMULA,
        terms,
        lambda v: hours(dict(v)),
        ("charge-begins-at-the-depth-limit", *current.assumptions),
    )
    return replace(
        slow_first,
        low=slow_first.high,
        high=slow_first.low,
        terms=tuple(replace(term, low=term.high, high=term.low) for term in terms),
    )


def _per_day(bank: Bank, current: Figure, hours: float) -> Figure:
    terms = (current.as_term("I"), Term("t", hours, hours, "h"), _efficiency(bank))
    said: tuple[Assumption, ...] = ("while-not-full", *current.assumptions)
    return figure("Ah", "{I} · {t} · {η}", terms, lambda v: v["I"] * v["t"] * v["η"], said)


def _battery(bank: Bank, *, low: bool) -> Battery:
    acceptance, efficiency = _acceptance(bank), _efficiency(bank)
    return Battery(
        bank.capacity_ah,
        acceptance.low if low else acceptance.high,
        efficiency.low if low else efficiency.high,
        bank.charge_limit_a,
    )


def _acceptance(bank: Bank) -> Term:
    return of_range("r", bank.spread(lambda chemistry: chemistry.charge_acceptance_per_h), "1/h")


def _efficiency(bank: Bank) -> Term:
    return of_range("η", bank.spread(lambda chemistry: chemistry.charge_efficiency), "1")


def _missing(bank: Bank) -> Term:
    """Return the missing charge at the maximum depth of discharge; largest at the slow end. [Ah]"""
    depth = bank.spread(lambda chemistry: chemistry.depth_of_discharge_percent)
    return of_range("M", depth, "Ah", bank.capacity_ah / 100, swap=True)


def _start(bank: Bank) -> Term:
    missing = _missing(bank)
    return Term("q", 1 - missing.low / bank.capacity_ah, 1 - missing.high / bank.capacity_ah, "1")


def _days(points: Iterable[ChargePoint]) -> float:
    last = list(points)[-1]
    return last.hours / 24 if last.soc >= constant("full charge").value else inf
