"""The page on battery runtime from state of charge and active loads, as a form and as a table."""

import json
from collections.abc import Iterator
from dataclasses import dataclass
from math import inf

from vandoc.ground.calc.battery import rest_voltage
from vandoc.ground.calc.discharge import cold_part, coldest_known_c
from vandoc.ground.calc.remaining import remaining_h
from vandoc.ground.chemistry import chemistry_of
from vandoc.ground.figures import in_unit, owners_number, owners_scales, owners_time, quantity, stated
from vandoc.pages.manual.book import Book
from vandoc.pages.manual.page import Page
from vandoc.pages.manual.text import enumerated, say
from vandoc.physics.energy.bank import Bank, BankLoad, banks
from vandoc.physics.energy.endurance import RATED_H, usable

WARMTHS_C = (20.0, 10.0, 0.0, -10.0)
TABLE_C = 10.0  # battery temperature in the table
CHARGES = (100, 90, 80, 70, 60, 50, 40, 30, 20, 10)
ALWAYS_H = 24.0


@dataclass(frozen=True)
class RunnableLoad:
    """A load that can be switched on.

    Attributes
    ----------
    amps : str
        Current drawn from the battery. [A]
    always : bool
        Whether the van file has it on day and night.
    full, half : str
        Runtime of this load alone from a fully charged and from a half-charged battery.
    """

    name: str
    value: str
    amps: str
    always: bool
    full: str
    half: str


@dataclass(frozen=True)
class TemperatureOption:
    """A battery temperature, and the fraction of the capacity left by ageing and cold."""

    name: str
    part: str
    chosen: bool


@dataclass(frozen=True)
class BankForm:
    """A battery bank as one form; numbers are text for the page's script."""

    suffix: str
    name: str
    capacity: str
    keep: str
    keep_percent: str
    rated: str
    exponent: str
    charges: tuple[tuple[str, str], ...]
    warmths: tuple[TemperatureOption, ...]
    runs: tuple[RunnableLoad, ...]
    always: str
    together: str
    briefly: tuple[str, ...]


def pages(book: Book) -> Iterator[Page]:
    """Yield the page if a leisure battery supplies any load."""
    found = [
        bank
        for bank in banks(book.system, book.network)
        if bank.known and any(draw.amps_a > 0 for draw in bank.draws)
    ]
    stores = [_store(book, bank, f"-{number}" if number else "") for number, bank in enumerate(found)]
    scripts = ("remaining", "tonight")
    view = {
        "stores": stores,
        "scales": json.dumps([*owners_scales()], ensure_ascii=False),
        "no_time": owners_time(0.0),
    }
    yield Page("tonight.md", "owner/tonight", say("menu.tonight"), view, scripts=scripts)


def _store(book: Book, bank: Bank, suffix: str) -> BankForm:
    depth = bank.spread(lambda chemistry: chemistry.depth_of_discharge_percent).low
    exponent = bank.spread(lambda chemistry: chemistry.peukert_exponent).high
    age = next(term.low for term in usable(book.system, bank, "winter", 0.0).terms if term.symbol == "a")
    keep = 1 - depth / 100
    here = _left(bank, TABLE_C, age)

    def lasts(charge: float, amps: float) -> str:
        left = remaining_h(charge, keep, bank.capacity_ah, RATED_H, here, exponent, amps)
        return owners_time(left, "down")

    briefly = [draw for draw in bank.draws if _brief(book, draw)]
    draws = sorted(
        (draw for draw in bank.draws if draw.amps_a > 0 and draw not in briefly),
        key=lambda draw: (not _always(draw), -draw.amps_a),
    )
    always_a = sum(draw.amps_a for draw in draws if _always(draw))
    return BankForm(
        suffix=suffix,
        name=enumerated(book.name(ident) for ident in bank.batteries),
        capacity=f"{bank.capacity_ah:g}",
        keep=f"{keep:g}",
        keep_percent=stated(keep * 100, "%"),
        rated=f"{RATED_H:g}",
        exponent=f"{exponent:g}",
        charges=tuple(_charge(bank, percent) for percent in CHARGES if percent / 100 >= keep),
        warmths=tuple(
            TemperatureOption(say("warmth", degrees=stated(c, "°C")), repr(_left(bank, c, age)), c == TABLE_C)
            for c in WARMTHS_C
        ),
        runs=tuple(
            RunnableLoad(
                book.name(draw.owner),
                repr(draw.amps_a),
                in_unit(owners_number(draw.amps_a), "A"),
                _always(draw),
                lasts(1.0, draw.amps_a),
                lasts(max(0.5, keep), draw.amps_a) if keep < 0.5 else owners_time(0.0),
            )
            for draw in draws
        ),
        always=lasts(1.0, always_a) if always_a else "",
        briefly=tuple(dict.fromkeys(book.name(draw.owner) for draw in briefly)),
        together=lasts(1.0, sum(draw.amps_a for draw in draws)) if draws else "",
    )


def _always(draw: BankLoad) -> bool:
    return draw.hours is not None and draw.hours.winter_h >= ALWAYS_H


def _brief(book: Book, draw: BankLoad) -> bool:
    """Whether a load never runs for more than a few minutes."""
    load = book.system.loads.get(draw.owner)
    return load is not None and not load.continuous


def _left(bank: Bank, celsius: float, age: float) -> float:
    """The worst-case fraction of the capacity left by ageing and cold. [1]"""
    colds = [cold_part(name, max(celsius, coldest_known_c(name))).low for name in bank.chemistries]
    return min(colds, default=inf) * age


def _charge(bank: Bank, percent: int) -> tuple[str, str]:
    """A state of charge, with its resting voltage if the table of the chemistry has it."""
    value = f"{percent / 100:g}"
    if len(bank.chemistries) == 1 and chemistry_of(bank.chemistries[0]).flat_curve is False:
        for row in rest_voltage(bank.chemistries[0], bank.nominal_v, bank.cells):
            if row.soc_percent == percent:
                volts = quantity(row.volts_v, "V", places=2)
                return value, say("charge_at_rest", percent=percent, volts=volts)
    return value, say("state_of_charge.percent", percent=percent)
