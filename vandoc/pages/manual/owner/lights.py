"""The meaning of each indicator light or display message, and the action it requires."""

from collections.abc import Iterator
from dataclasses import dataclass

from vandoc.model.equipment import Indicator
from vandoc.pages.diagram.light import light
from vandoc.pages.manual.book import Book, PlaceView
from vandoc.pages.manual.page import Page
from vandoc.pages.manual.text import WORDS, Markup, say, upper_first
from vandoc.pages.manual.trouble.symptoms import SymptomRow, of_devices


@dataclass(frozen=True)
class Light:
    """One indicator light or display message, with its drawing."""

    drawing: Markup
    colour: str
    pattern: str
    where: str
    meaning: str
    do: str
    urgency: str


@dataclass(frozen=True)
class Device:
    """A device with its lights."""

    ident: str
    name: str
    where: PlaceView
    lights: tuple[Light, ...]
    causes: tuple[SymptomRow, ...]


def pages(book: Book) -> Iterator[Page]:
    """Yield the page of all indicator lights."""
    shown = devices(book)
    lights = [light for device in shown for light in device.lights]
    view = {
        "devices": shown,
        "device_choices": [(device.ident, upper_first(device.name)) for device in shown],
        "colours": _choices("colour", [light.colour for light in lights]),
        "patterns": _choices("pattern", [light.pattern for light in lights]),
    }
    yield Page("lights.md", "owner/lights", say("menu.lights"), view, scripts=("lights",) if shown else ())


def _choices(name: str, used: list[str]) -> list[tuple[str, str]]:
    """The options to tap: each value in use, in the order of the message file."""
    return [(value, words) for value, words in WORDS[name].items() if value in used]


def devices(book: Book) -> list[Device]:
    """Return the devices that have indicators, in the order of the file."""
    things = book.system.things
    return [
        Device(
            ident,
            book.name(ident),
            book.where(thing.place),
            lights_of(ident, thing.indicators),
            of_devices(book, {ident}),
        )
        for ident, thing in things.items()
        if thing.indicators
    ]


def lights_of(ident: str, indicators: list[Indicator]) -> tuple[Light, ...]:
    """Return the lights of one device, those that require immediate action first."""
    order = ("now", "soon", "none")
    ranked = sorted(enumerate(indicators, 1), key=lambda entry: order.index(entry[1].urgency))
    return tuple(
        Light(
            Markup(light(f"light-{ident}-{number}", one.colour, one.pattern, one.shows or "")),
            one.colour,
            one.pattern,
            one.where,
            one.meaning,
            one.do,
            say(f"urgency.{one.urgency}"),
        )
        for number, one in ranked
    )
