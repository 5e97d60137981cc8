"""The electrician's energy page: consumption, solar yield, autonomy, charging, battery life, with working."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from vandoc.ground.figures import month as month_name
from vandoc.ground.figures import number, span, stated
from vandoc.pages.diagram.svg import identifier
from vandoc.pages.manual.book import Book
from vandoc.pages.manual.electrician.working import ENERGY, FigureWorking, assumptions, spread, working
from vandoc.pages.manual.page import Page
from vandoc.pages.manual.plots import Plot, charge_over_time, sun_against_need
from vandoc.pages.manual.text import enumerated, say, sourced
from vandoc.physics.energy import SEASONS, BankBudget, Charging, MonthBudget, SeasonBudget


@dataclass(frozen=True)
class UseRow:
    """Daily consumption of one load; numbers as text, empty in a season in which it is not used."""

    name: str
    amps: str
    summer_h: str
    summer_ah: str
    winter_h: str
    winter_ah: str


@dataclass(frozen=True)
class MonthRow:
    """Solar yield against consumption in one month; numbers as text. [Ah/d]"""

    month: str
    used: bool
    sun: str
    need: str
    covered: str


@dataclass(frozen=True)
class SunRow:
    """Values that vary by month in the working of one solar charge controller."""

    month: str
    irradiation: tuple[str, str]
    kept: tuple[str, str]
    charge: tuple[str, str]


@dataclass(frozen=True)
class SunSum:
    """Working of one solar charge controller: one month in full, then the values that vary by month."""

    name: str
    example: FigureWorking
    rows: tuple[SunRow, ...]


@dataclass(frozen=True)
class ChargingMethod:
    """One charging source with its results."""

    name: str
    to_full: str
    per_day: str
    plot: Plot
    sums: tuple[FigureWorking, ...]


@dataclass(frozen=True)
class BankView:
    """All results for one battery bank."""

    name: str
    uses: tuple[UseRow, ...]
    self_discharge: str
    needs: dict[str, str]
    unstated: tuple[str, ...]
    sun: Plot | None
    months: tuple[MonthRow, ...]
    suns: tuple[SunSum, ...]
    lasts: tuple[tuple[str, str, str], ...]
    lasting: tuple[FigureWorking, ...]
    ways: tuple[ChargingMethod, ...]
    years: str
    wearing: tuple[FigureWorking, ...]
    assumed: tuple[str, ...]


def pages(book: Book) -> Iterator[Page]:
    """Yield the page; without a leisure battery it states that there is nothing to calculate."""
    banks = [_bank(book, budget, number) for number, budget in enumerate(book.energy.banks)]
    view = {"banks": banks, "missing": book.energy.missing}
    yield Page("electrician/energy.md", "electrician/energy", say("menu.energy"), view, searched=False)


def _bank(book: Book, budget: BankBudget, place: int) -> BankView:
    suffix = f"-{place}" if place else ""
    seasons = [season for season in budget.seasons.values() if season.months] or [*budget.seasons.values()]
    lasting = [sum_ for season in seasons for sum_ in _lasting(book, season)]
    if budget.all_on:
        lasting.append(working("all_on", budget.all_on))
    return BankView(
        name=enumerated(book.name(ident) for ident in budget.bank.batteries),
        uses=tuple(_uses(book, budget)),
        self_discharge=_self_discharge(budget),
        needs={season: spread(budget.seasons[season].need) for season in SEASONS},
        unstated=tuple(book.name(ident) for ident in budget.unstated),
        sun=sun_against_need(budget, f"sun{suffix}"),
        months=tuple(_month(month) for month in budget.months),
        suns=tuple(_suns(book, budget)),
        lasts=tuple(
            (
                ENERGY.say(f"season.{season.season}"),
                spread(season.days_dark),
                spread(season.days_sun) if season.days_sun else "",
            )
            for season in seasons
        ),
        lasting=tuple(lasting),
        ways=tuple(_way(book, way, suffix) for way in budget.charging),
        years=spread(budget.years),
        wearing=(working("drawn", budget.drawn), working("years", budget.years)),
        assumed=assumptions(*(season.need for season in seasons)),
    )


def _uses(book: Book, budget: BankBudget) -> Iterator[UseRow]:
    rows: dict[str, dict[str, str]] = {}
    for season in SEASONS:
        for use in budget.seasons[season].uses:
            row = rows.setdefault(use.owner, {"amps": ""})
            current = next((term for term in use.charge.terms if term.symbol == "I"), None)
            if current:
                row["amps"] = span(current.low, current.high, "")
            row[f"{season}_h"] = stated(use.hours)
            row[f"{season}_ah"] = span(use.charge.low, use.charge.high, "")
    for owner, row in rows.items():
        yield UseRow(
            book.name(owner),
            row["amps"],
            *(row.get(key, "") for key in ("summer_h", "summer_ah", "winter_h", "winter_ah")),
        )


def _self_discharge(budget: BankBudget) -> str:
    """The source of the self-discharge figures."""
    uses = budget.seasons["summer"].uses
    own = next(use for use in uses if use.owner == budget.bank.batteries[0])
    rate = next(term for term in own.charge.terms if term.symbol == "s")
    return sourced(rate.source, rate.from_memory)


def _month(month: MonthBudget) -> MonthRow:
    return MonthRow(
        month_name(month.month),
        month.used,
        span(month.sun.low, month.sun.high, ""),
        span(month.need.low, month.need.high, ""),
        ENERGY.say(f"covered.{month.covered}"),
    )


def _suns(book: Book, budget: BankBudget) -> Iterator[SunSum]:
    if not budget.months:
        return
    for place, (owner, _) in enumerate(budget.months[0].chargers):
        figures = [(month, month.chargers[place][1]) for month in budget.months]
        used = [(month, figure) for month, figure in figures if month.used] or figures
        month, example = min(used, key=lambda entry: entry[1].low)
        shown = month_name(month.month)
        rows = []
        for each, figure in figures:
            terms = {term.symbol: term for term in figure.terms}
            rows.append(
                SunRow(
                    month_name(each.month),
                    (number(terms["H"].low), number(terms["H"].high)),
                    (number(terms["k"].low), number(terms["k"].high)),
                    (number(figure.low), number(figure.high)),
                )
            )
        name = book.name(owner)
        yield SunSum(name, working("month", example, month=shown, charger=name), tuple(rows))


def _lasting(book: Book, season: SeasonBudget) -> Iterator[FigureWorking]:
    shown = ENERGY.say(f"season.{season.season}")
    yield working("usable", season.usable, season=shown)
    yield working("days_dark", season.days_dark, season=shown)
    if season.sun and season.days_sun:
        yield working("sun", season.sun, _month_or(book), season=shown)
        yield working("days_sun", season.days_sun, season=shown)


def _month_or(book: Book) -> Callable[[str], str]:
    """Return a function that names a term of a mean: a month or a charger."""

    def name(symbol: str) -> str:
        word, _, number = symbol.partition(" ")
        if word == "month" and number.isdigit():
            return month_name(int(number))
        return book.name(symbol)

    return name


def _way(book: Book, way: Charging, suffix: str) -> ChargingMethod:
    name = book.name(way.feed.owner)
    plot = charge_over_time(way, name, f"charge-{identifier(way.feed.owner)}{suffix}")
    figures = {"current": way.current, "to_full": way.to_full, "per_day": way.per_day}
    return ChargingMethod(
        name,
        spread(way.to_full, "up"),
        spread(way.per_day) if way.per_day else "",
        plot,
        tuple(working(kind, figure) for kind, figure in figures.items() if figure),
    )
