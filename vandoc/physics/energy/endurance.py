"""Usable capacity, autonomy and life of a battery bank."""

from dataclasses import dataclass, replace
from datetime import date
from math import fsum

from vandoc.ground.calc.discharge import age_part, cold_part, coldest_known_c, days_until_empty, rate_part
from vandoc.ground.calc.wear import years_until_worn_out
from vandoc.ground.data import constant
from vandoc.model.equipment import Battery
from vandoc.model.system import CompletedSystem
from vandoc.physics.energy.bank import Bank
from vandoc.physics.energy.figure import Assumption, Figure, Term, figure, of_range
from vandoc.physics.energy.results import Season

RATED_H = 20.0
DAYS_PER_YEAR = 365.25
USABLE_FORMULA = "{C} · {d} · {a} · {c} · min(1; ({C} / ({h} · {I}))^({k} − 1))"


@dataclass(frozen=True)
class _Celsius:
    low: float
    high: float
    assumption: Assumption


def usable(system: CompletedSystem, bank: Bank, season: Season, current_a: float) -> Figure:
    """Return the usable capacity of a full bank at a discharge current.

    Parameters
    ----------
    system : CompletedSystem
    bank : Bank
    season : {"summer", "winter"}
        Determines the temperature of the batteries.
    current_a : float
        Mean current of the discharge, scalar, at least 0. [A]

    Returns
    -------
    Figure
        Capacity times depth of discharge and the factors for age, temperature and rate. [Ah]
    """
    age, age_said = _age(system, bank)
    cold, cold_said = _cold(system, bank, season)
    terms = (
        Term("C", bank.capacity_ah, bank.capacity_ah, "Ah"),
        of_range("d", bank.spread(lambda chemistry: chemistry.depth_of_discharge_percent), "1", 0.01),
        age,
        cold,
        Term("h", RATED_H, RATED_H, "h"),
        Term("I", current_a, current_a, "A", "Peukert 1897"),
        of_range("k", bank.spread(lambda chemistry: chemistry.peukert_exponent), "1", swap=True),
    )
    return figure(
        "Ah",
        USABLE_FORMULA,
        terms,
        lambda v: v["C"] * v["d"] * v["a"] * v["c"] * rate_part(v["C"], v["h"], v["I"], v["k"]),
        (age_said, *cold_said, "full-at-start"),
    )


def days(usable_ah: Figure, need: Figure, sun: Figure | None) -> Figure:
    """Return the days from full to discharged, with average solar charging or none. [d]"""
    terms = [usable_ah.as_term("Q"), need.as_term("V", swap=True)]
    if sun is not None:
        terms.append(sun.as_term("S"))
    return figure(
        "d",
        "{Q} / {V}" if sun is None else "{Q} / ({V} − {S})",
        tuple(terms),
        lambda v: days_until_empty(v["Q"], v["V"], v.get("S", 0.0)),
        ("full-at-start", "hours-as-stated", *(sun.assumptions if sun else ())),
    )


def hours_all_on(system: CompletedSystem, bank: Bank, season: Season) -> Figure | None:
    """Return the hours from full to discharged with everything switched on; None if nothing draws. [h]"""
    current = fsum(draw.amps_a for draw in bank.draws)
    if current == 0:
        return None
    drawable = usable(system, bank, season, current)
    ends = drawable.low / current, drawable.high / current
    return replace(drawable, low=ends[0], high=ends[1], unit="h", formula=f"{USABLE_FORMULA} / {{I}}")


def years(bank: Bank, drawn: Figure) -> Figure:
    """Return the life of the bank in years.

    Parameters
    ----------
    bank : Bank
    drawn : Figure
        In a year, see :func:`drawn_in_a_year`. [Ah]

    Returns
    -------
    Figure
        [a]
    """
    depth = bank.spread(lambda chemistry: chemistry.depth_of_discharge_percent).low / 100
    terms = (
        of_range("L", bank.spread(lambda chemistry: chemistry.calendar_life_a), "a"),
        of_range("N", bank.spread(lambda chemistry: chemistry.cycle_life), "1"),
        Term("d", depth, depth, "1"),
        Term("C", bank.capacity_ah, bank.capacity_ah, "Ah"),
        drawn.as_term("Q", swap=True),
    )
    return figure(
        "a",
        "min({L}; {N} · {d} · {C} / {Q})",
        terms,
        lambda v: years_until_worn_out(v["C"], v["N"], v["d"], v["Q"], v["L"]),
        ("cycles-as-throughput", *drawn.assumptions),
    )


def drawn_in_a_year(needs: dict[Season, Figure], months: dict[Season, int]) -> Figure:
    """Return the charge drawn in a year.

    Parameters
    ----------
    needs : dict
        By season, in a day. [Ah]
    months : dict
        How many months of each season the van is used. [1]

    Returns
    -------
    Figure
        [Ah/a]
    """
    terms = []
    for season, need in needs.items():
        terms.append(need.as_term(season))
        spent = DAYS_PER_YEAR / 12 * months[season]
        terms.append(Term(f"{season} days", spent, spent, "d"))
    return figure(
        "Ah/a",
        " + ".join(f"{{{season}}} · {{{season} days}}" for season in needs),
        tuple(terms),
        lambda v: fsum(v[season] * v[f"{season} days"] for season in needs),
        ("hours-as-stated",),
    )


def _age(system: CompletedSystem, bank: Bank) -> tuple[Term, Assumption]:
    """Return the share of capacity left after ageing, at the newest date in the file. [1]"""
    life = bank.spread(lambda chemistry: chemistry.calendar_life_a)
    worn = constant("capacity when worn out")
    fitted = [found for found in (_fitted(system, name) for name in bank.batteries) if found]
    if not fitted:
        return Term("a", worn.value, 1.0, "1", worn.source, worn.from_memory), "age-unknown"
    age = max(0.0, (_newest(system, min(fitted)) - min(fitted)).days / DAYS_PER_YEAR)
    source = f"{worn.source}; life: {life.source}"
    parts = (age_part(age, life.low), age_part(age, life.high))
    return Term("a", *parts, "1", source, life.from_memory), "age-from-dates"


def _fitted(system: CompletedSystem, name: str) -> date | None:
    return system.equipment[name].installed or system.van.built


def _newest(system: CompletedSystem, fitted: date) -> date:
    days = [visit.date for visit in system.commissioning] + [visit.date for visit in system.services]
    days += [piece.installed for piece in system.equipment.values() if piece.installed]
    return max([fitted, *days])


def _cold(system: CompletedSystem, bank: Bank, season: Season) -> tuple[Term, tuple[Assumption, ...]]:
    lows, highs, sources, memory = [], [], [], False
    said: dict[Assumption, None] = {}
    batteries = system.batteries
    for name in bank.batteries:
        battery = batteries[name]
        celsius = _celsius(system, battery, season)
        said[celsius.assumption] = None
        floor = coldest_known_c(battery.chemistry)
        if celsius.low < floor:
            said["cold-beyond-table"] = None
        low = cold_part(battery.chemistry, max(celsius.low, floor))
        high = cold_part(battery.chemistry, max(celsius.high, floor))
        lows.append(low.low)
        highs.append(high.high)
        sources.append(low.source)
        memory = memory or low.from_memory or high.from_memory
    return Term("c", min(lows), max(highs), "1", "; ".join(dict.fromkeys(sources)), memory), tuple(said)


def _celsius(system: CompletedSystem, battery: Battery, season: Season) -> _Celsius:
    place = system.places[battery.place]
    if season == "summer":
        low = constant("battery in summer low").value
        return _Celsius(low, max(low, constant("battery in summer high").value), "cold-from-place")
    warm = constant("battery in a lived-in van in winter").value
    if place.inside:
        return _Celsius(min(place.coldest_c, warm), max(place.coldest_c, warm), "winter-inside")
    return _Celsius(
        place.coldest_c, max(place.coldest_c, constant("air by day in winter high").value), "cold-from-place"
    )
