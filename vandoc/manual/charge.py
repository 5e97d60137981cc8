"""The battery's page, for this van's chemistry, and the page on charging."""

from collections.abc import Iterator
from dataclasses import dataclass

from vandoc.calc.battery import Chemistry, chemistry_figures, rest_voltage
from vandoc.manual.book import Book, Where
from vandoc.manual.owner import Store, store
from vandoc.manual.page import Page
from vandoc.manual.text import quantity, say
from vandoc.model import equipment as eq


@dataclass(frozen=True)
class Rest:
    """A row of the table of rest voltages."""

    charge: str
    volts: str


@dataclass(frozen=True)
class Kind:
    """What the owner must know of one chemistry in this van.

    Attributes
    ----------
    template : str
        The text on this chemistry.
    suffix : str
        Keeps its anchors apart from those of another chemistry on the page.
    keep_above : str
        State of charge to stay above.
    at_half : str
        Rest voltage of a half full battery of this van.
    absorption, floating : str
        Charging voltages for this van's nominal voltage.
    """

    template: str
    suffix: str
    name: str
    lithium: bool
    guarded: bool
    blocks: int
    batteries: tuple[Store, ...]
    keep_above: str
    at_half: str
    rest: tuple[Rest, ...]
    source: str
    absorption: str
    absorption_source: str
    floating: str
    floating_source: str
    coldest: str
    self_discharge: str
    self_discharge_source: str


@dataclass(frozen=True)
class Charger:
    """A charger as the owner knows it."""

    name: str
    where: Where
    output: str
    hours: str | None


def pages(book: Book) -> Iterator[Page]:
    """Yield the battery's page and the page on charging."""
    starters = [book.where(b.place) for b in book.pieces(eq.Battery).values() if b.role == "starter"]
    yield Page("battery.md", "battery", say("menu.battery"), {"kinds": kinds(book), "starters": starters})
    yield Page("charging.md", "charging", say("menu.charging"), _charging(book))


def kinds(book: Book) -> list[Kind]:
    """Return what the owner must know of each chemistry of the leisure batteries."""
    chemistries = dict.fromkeys(battery.chemistry for battery in book.leisure.values())
    return [_kind(book, chemistry, f"-{n}" if n else "") for n, chemistry in enumerate(chemistries)]


def _kind(book: Book, chemistry: str, suffix: str) -> Kind:
    idents = [ident for ident, battery in book.leisure.items() if battery.chemistry == chemistry]
    nominal_v = book.leisure[idents[0]].nominal_v or book.system.van.nominal_v
    units = nominal_v / 12
    figures = chemistry_figures(chemistry)
    rows = rest_voltage(chemistry)
    half = next(row for row in rows if row.soc_percent == 50)
    return Kind(
        template=f"chemistry/{chemistry}.md.j2",
        suffix=suffix,
        name=say(f"chemistry.{chemistry}"),
        lithium=chemistry == "LiFePO4",
        guarded=all(book.leisure[ident].low_temperature_lockout for ident in idents),
        blocks=book.leisure[idents[0]].series if book.leisure[idents[0]].series > 1 else 0,
        batteries=tuple(store(book, ident) for ident in idents),
        keep_above=quantity(100 - figures.depth_of_discharge_percent.low, "%"),
        at_half=quantity(half.volts_v * units, "V", 1),
        rest=tuple(Rest(_charge(row.soc_percent), quantity(row.volts_v * units, "V", 2)) for row in rows),
        source=sourced(rows[0].source, rows[0].from_memory),
        absorption=_range(figures.absorption_v.low * units, figures.absorption_v.high * units),
        absorption_source=sourced(figures.absorption_v.source, figures.absorption_v.from_memory),
        floating=_range(figures.float_v.low * units, figures.float_v.high * units),
        floating_source=sourced(figures.float_v.source, figures.float_v.from_memory),
        coldest=quantity(figures.lowest_charging_c.low, "°C"),
        self_discharge=_discharge(figures),
        self_discharge_source=sourced(
            figures.self_discharge_percent_per_month.source,
            figures.self_discharge_percent_per_month.from_memory,
        ),
    )


def sourced(source: str, from_memory: bool) -> str:
    """Return a source, saying where the figure was recalled and not read."""
    return say("from_memory", source=source) if from_memory else source


def _charge(percent: float) -> str:
    named = {100.0: "full", 50.0: "half", 0.0: "empty"}.get(percent)
    return (
        say(f"state_of_charge.{named}") if named else say("state_of_charge.percent", percent=f"{percent:g}")
    )


def _range(low: float, high: float) -> str:
    return say("range", low=f"{low:.1f}", high=quantity(high, "V", 1))


def _discharge(figures: Chemistry) -> str:
    found = figures.self_discharge_percent_per_month
    return say("range", low=f"{found.low:g}", high=quantity(found.high, "%"))


def _charging(book: Book) -> dict[str, object]:
    chargers = book.pieces(eq.Charger)
    relays = [ident for ident, relay in book.pieces(eq.Relay).items() if relay.purpose == "split-charge"]
    arrays = book.pieces(eq.SolarArray)
    mains = book.system.mains
    return {
        "driving": [_charger(book, i) for i, c in chargers.items() if c.source == "alternator"],
        "relays": [book.name(ident) for ident in relays],
        "solar": [_charger(book, i) for i, c in chargers.items() if c.source == "solar"],
        "panels": quantity(sum(a.power_w * a.series * a.parallel for a in arrays.values()), "W"),
        "arrays": [(book.name(ident), book.where(array.place)) for ident, array in arrays.items()],
        "mains": [_charger(book, i) for i, c in chargers.items() if c.source == "mains"],
        "hook_up": "mains" in book.traits,
        "inlet": book.where(mains.hook_up.where) if mains and mains.hook_up and mains.hook_up.where else None,
        "rcd": mains.hook_up.rcd if mains and mains.hook_up else None,
        "order": say("source.order"),
        "inspection": say("source.inspection"),
        "inverters": [book.name(ident) for ident in book.pieces(eq.Inverter)],
        "lithium": "lithium" in book.traits,
        "flooded": "flooded" in book.traits,
        "lead": "lead" in book.traits,
    }


def _charger(book: Book, ident: str) -> Charger:
    piece = book.pieces(eq.Charger)[ident]
    volts = piece.output_v or book.system.van.nominal_v
    capacity = sum(
        b.capacity_ah for b in book.leisure.values() if (b.nominal_v or book.system.van.nominal_v) == volts
    )
    hours = capacity / 2 / piece.output_a
    shown = say("hours.about", hours=f"{hours:.0f}") if hours >= 2 else say("hours.short")
    output = quantity(piece.output_a, "A")
    return Charger(
        book.name(ident),
        book.where(piece.place),
        say("proposed", value=output) if piece.proposed else output,
        shown if capacity else None,
    )
