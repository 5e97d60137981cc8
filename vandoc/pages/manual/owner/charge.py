"""The battery page, for the chemistry of this van, and the charging page."""

from collections.abc import Iterator
from dataclasses import dataclass
from math import isinf

from vandoc.ground.calc.battery import rest_voltage
from vandoc.ground.chemistry import Names, Range, chemistry_of
from vandoc.ground.figures import YEAR_H, owners_time, owners_times, quantity, span, stated
from vandoc.model import equipment as eq
from vandoc.pages.manual.book import Book, PlaceView
from vandoc.pages.manual.owner.start import BatterySummary, store
from vandoc.pages.manual.page import CAUTIONS, Page
from vandoc.pages.manual.plots import Plot, sun_against_need
from vandoc.pages.manual.text import say, sourced
from vandoc.physics.energy import BankBudget, Charging
from vandoc.physics.network.isolation import panel_isolators


@dataclass(frozen=True)
class RestVoltageRow:
    """A row of the table of resting voltages."""

    charge: str
    volts: str


@dataclass(frozen=True)
class EnduranceText:
    """How long a fully charged battery lasts, in the owner's terms.

    Attributes
    ----------
    seasons : tuple of (name, without charging, with solar)
        The seasons in which the van is used; "with solar" is empty if no panels are stated.
    years : str
        Battery life.
    uncounted : tuple of str
        Loads left out because their daily hours are not stated.
    """

    seasons: tuple[tuple[str, str, str], ...]
    years: str
    uncounted: tuple[str, ...]


@dataclass(frozen=True)
class ChemistryCare:
    """Care of one battery chemistry in this van, for the owner.

    A text is empty if what it says is not known of the chemistry.

    Attributes
    ----------
    care : str
        Name of the template with its text.
    suffix : str
        Distinguishes its anchors from those of another chemistry on the page.
    package : str
        The package of others that adds the chemistry; empty if it is ours.
    flat_curve : bool
        Whether the voltage at rest says little; not so if that is not known.
    stored : str
        ``"full"``, ``"half"`` or empty.
    months : str
        Interval of charging or checking it in storage.
    cautions : tuple of str
        Cautions of all that it could do.
    keep_above : str
        Lowest recommended state of charge.
    blind : str
        States of charge between which the voltage at rest tells nothing; empty if it always tells.
    monitor : str
        Name of the battery monitor; empty without one.
    stops : tuple of str
        How to stop each charger, the engine's included.
    at_half : str
        Resting voltage of a half-charged battery at this van's nominal voltage.
    absorption, floating : str
        Charging voltages for this van's nominal voltage.
    """

    care: str
    suffix: str
    names: Names
    package: str
    flat_curve: bool
    stored: str
    months: str
    cautions: tuple[str, ...]
    guarded: bool
    blocks: int
    batteries: tuple[BatterySummary, ...]
    keep_above: str
    blind: str
    monitor: str
    at_half: str
    rest: tuple[RestVoltageRow, ...]
    source: str
    absorption: str
    absorption_source: str
    floating: str
    floating_source: str
    coldest: str
    self_discharge: str
    self_discharge_source: str
    lasts: EnduranceText | None
    stops: tuple[str, ...]


@dataclass(frozen=True)
class Charger:
    """A charger as described to the owner.

    Attributes
    ----------
    output : str
        Rated output; empty for a relay, which does not limit the current.
    start, full : str
        State of charge at the start, and the time from there to full; empty if not known.
    doubtful : bool
        Whether it may never reach full charge with many loads on, or in dull weather.
    back : str
        The share of a day's use that a typical day of charging restores; empty if its hours are not stated.
    """

    name: str
    where: PlaceView
    output: str
    start: str
    full: str
    doubtful: bool
    back: str


def pages(book: Book) -> Iterator[Page]:
    """Yield the battery page and the charging page."""
    starters = [book.where(battery.place) for battery in book.system.starters.values()]
    yield Page(
        "battery.md", "owner/battery", say("menu.battery"), {"kinds": kinds(book), "starters": starters}
    )
    yield Page("charging.md", "owner/charging", say("menu.charging"), _charging(book))


def kinds(book: Book) -> list[ChemistryCare]:
    """Return the care of each chemistry among the leisure batteries."""
    chemistries = dict.fromkeys(battery.chemistry for battery in book.leisure.values())
    return [_kind(book, chemistry, f"-{n}" if n else "") for n, chemistry in enumerate(chemistries)]


def _kind(book: Book, chemistry: str, suffix: str) -> ChemistryCare:
    idents = [ident for ident, battery in book.leisure.items() if battery.chemistry == chemistry]
    first = book.leisure[idents[0]]
    label = (first.nominal_v or book.system.van.nominal_v, first.cells)
    traits = chemistry_of(chemistry)
    rows = rest_voltage(chemistry, *label)
    half = next((row.volts_v for row in rows if row.soc_percent == 50), None)
    absorption = first.absorption_range(book.system.van.nominal_v)
    floating = traits.scaled(traits.float_v, *label)
    depth, lost = traits.depth_of_discharge_percent, traits.self_discharge_percent_per_month
    coldest, blind = traits.lowest_charging_c, traits.blind_percent
    return ChemistryCare(
        care=traits.care or "unknown",
        suffix=suffix,
        names=traits.names,
        package=str(traits.package or ""),
        flat_curve=traits.flat_curve is True,
        stored=traits.stored or "",
        months=_months(traits.tend_months),
        cautions=tuple(name for name, entry in CAUTIONS.tree.items() if entry.get("when") in traits.hazards),
        guarded=all(book.leisure[ident].low_temperature_lockout for ident in idents),
        blocks=book.leisure[idents[0]].series if book.leisure[idents[0]].series > 1 else 0,
        batteries=tuple(store(book, ident) for ident in idents),
        keep_above="" if depth is None else stated(100 - depth.low, "%"),
        blind="" if blind is None else span(blind.low, blind.high, "%"),
        monitor=next((monitor.name for monitor in book.pieces(eq.Monitor).values()), ""),
        at_half="" if half is None or traits.flat_curve else quantity(half, "V", places=1),
        rest=tuple(
            RestVoltageRow(_charge(row.soc_percent), span(row.lowest_v, row.highest_v, "V", places=2))
            for row in rows
        ),
        source=sourced(rows[0].source, rows[0].from_memory) if rows else "",
        absorption=_volts(absorption),
        absorption_source=_source(absorption),
        floating=_volts(floating),
        floating_source=_source(floating),
        coldest="" if coldest is None else stated(coldest.high, "°C"),
        self_discharge="" if lost is None else span(lost.low, lost.high, "%"),
        self_discharge_source=_source(lost),
        lasts=_lasts(book, idents[0]),
        stops=tuple(_stops(book)),
    )


def _stops(book: Book) -> Iterator[str]:
    """Yield how to stop each charger, the engine's included."""
    chargers = book.pieces(eq.Charger)
    driving = [book.name(ident) for ident, one in chargers.items() if one.source == "alternator"]
    for name in (*driving, *map(book.name, book.split_charges)):
        yield say("stop_charging.engine", name=name)
    for ident, one in chargers.items():
        if one.source == "mains":
            yield say("stop_charging.mains", name=book.name(ident))
    if book.pieces(eq.SolarArray):
        switches = panel_isolators(book.system, book.network)
        for ident in sorted(switches):
            where = book.where(book.system.equipment[ident].place).label
            yield say("do.isolator_at", name=book.name(ident), where=where)
        if not switches:
            yield say("stop_charging.sun")


def _charge(percent: float) -> str:
    named = {100.0: "full", 50.0: "half", 0.0: "empty"}.get(percent)
    return (
        say(f"state_of_charge.{named}") if named else say("state_of_charge.percent", percent=stated(percent))
    )


def _volts(found: Range | None) -> str:
    return "" if found is None else span(found.low, found.high, "V", places=1)


def _source(found: Range | None) -> str:
    return "" if found is None else sourced(found.source, found.from_memory)


def _months(interval: float | None) -> str:
    if interval is None:
        return ""
    return (
        say(f"storage.{interval:g}")
        if interval in (1, 2, 3)
        else say("storage.more", months=stated(interval))
    )


def _lasts(book: Book, ident: str) -> EnduranceText | None:
    budget = next((one for one in book.energy.banks if ident in one.bank.batteries), None)
    if budget is None or all(draw.hours is None for draw in budget.bank.draws):
        return None
    return EnduranceText(
        tuple(
            (
                say(f"season.{season.season}"),
                lasting(season.days_dark.low * 24, season.days_dark.high * 24),
                lasting(season.days_sun.low * 24, season.days_sun.high * 24) if season.days_sun else "",
            )
            for season in budget.seasons.values()
            if season.months
        ),
        owners_times(budget.years.low * YEAR_H, budget.years.high * YEAR_H, "down"),
        tuple(book.name(draw) for draw in budget.unstated),
    )


def lasting(low_h: float, high_h: float) -> str:
    """Return a range of times in everyday units, each end rounded down.

    Examples
    --------
    >>> lasting(32.4, 35.0), lasting(20.0, 80.0), lasting(130.0, 300.0)
    ('32 to 35\\xa0hours', '½ to 3\\xa0days', '5 to 12½\\xa0days')
    """
    if isinf(low_h):
        return say("lasts.sun_covers")
    if isinf(high_h):
        return say("lasts.sun_may_cover", low=owners_time(low_h, "down"))
    return owners_times(low_h, high_h, "down")


def _sunshine(book: Book) -> tuple[Plot, ...]:
    plots = (sun_against_need(budget, f"sun-{place}") for place, budget in enumerate(book.energy.banks))
    return tuple(plot for plot in plots if plot)


def _charging(book: Book) -> dict[str, object]:
    chargers = book.pieces(eq.Charger)
    relays = book.split_charges
    arrays = book.pieces(eq.SolarArray)
    mains = book.system.mains
    return {
        "driving": [_charger(book, i) for i, c in chargers.items() if c.source == "alternator"],
        "relays": [_charger(book, ident) for ident in relays],
        "driven": _daily(book.system.use.driven_h if book.system.use else None),
        "plugged": _daily(book.system.use.hook_up_h if book.system.use else None),
        "sunshine": _sunshine(book),
        "solar": [_charger(book, i) for i, c in chargers.items() if c.source == "solar"],
        "panels": stated(sum(a.power_w * a.series * a.parallel for a in arrays.values()), "W"),
        "arrays": [(book.name(ident), book.where(array.place)) for ident, array in arrays.items()],
        "mains": [_charger(book, i) for i, c in chargers.items() if c.source == "mains"],
        "hook_up": "mains" in book.traits,
        "inlet": book.where(mains.hook_up.where) if mains and mains.hook_up and mains.hook_up.where else None,
        "rcd": mains.hook_up.rcd if mains and mains.hook_up else None,
        "order": say("source.order"),
        "inspection": say("source.inspection"),
        "inverters": [book.name(ident) for ident in book.pieces(eq.Inverter)],
        "traits": book.traits,
    }


def _charger(book: Book, ident: str) -> Charger:
    output = ""
    if (piece := book.pieces(eq.Charger).get(ident)) is not None:
        amps = stated(piece.output_a, "A")
        output = say("proposed", value=amps) if piece.proposed else amps
    found = [
        (budget, way) for budget in book.energy.banks for way in budget.charging if way.feed.owner == ident
    ]
    start = full = back = ""
    doubtful = False
    if found:
        budget, way = found[0]
        depth = budget.bank.spread(lambda chemistry: chemistry.depth_of_discharge_percent)
        start, doubtful = stated(100 - depth.high, "%"), isinf(way.to_full.high)
        full = "" if isinf(way.to_full.low) else _until_full(way)
        back = _back(budget, way)
    place = book.where(book.system.equipment[ident].place)
    return Charger(book.name(ident), place, output, start, full, doubtful, back)


def _daily(hours_a_day: float | None) -> str:
    if not hours_a_day:
        return ""
    return say("daily.one") if hours_a_day == 1 else say("daily.many", hours=stated(hours_a_day))


def _until_full(way: Charging) -> str:
    """The time to full charge, rounded up; for a charger timed in days (solar), the best case only."""
    hours = 24 if way.to_full.unit == "d" else 1
    low, high = way.to_full.low * hours, way.to_full.high * hours
    return (
        owners_time(low, "up", in_days=hours == 24)
        if hours == 24 or isinf(high)
        else owners_times(low, high, "up")
    )


def _back(budget: BankBudget, way: Charging) -> str:
    if way.per_day is None or way.per_day.high == 0:
        return ""
    needs = [season.need for season in budget.seasons.values() if season.months]
    low = way.per_day.low / max(need.high for need in needs)
    high = way.per_day.high / min(need.low for need in needs)
    if low >= 1:
        return say("back.all")
    part = span(100 * low, 100 * min(high, 1), "%", sure="down", places=0)
    return say("back.part", part=part)
