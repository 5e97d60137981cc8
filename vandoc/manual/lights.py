"""What each light or display of the van says, and what to do."""

from collections.abc import Iterator
from dataclasses import dataclass

from vandoc.diagram.light import light
from vandoc.manual.book import Book, Where
from vandoc.manual.page import Page
from vandoc.manual.text import Trusted, say
from vandoc.model.equipment import Indicator


@dataclass(frozen=True)
class Light:
    """One light or display message, drawn."""

    drawing: Trusted
    where: str
    meaning: str
    do: str
    urgency: str


@dataclass(frozen=True)
class Device:
    """A device with its lights."""

    ident: str
    name: str
    where: Where
    lights: tuple[Light, ...]


def pages(book: Book) -> Iterator[Page]:
    """Yield the page of all lights."""
    yield Page("lights.md", "lights", say("menu.lights"), {"devices": devices(book)})


def devices(book: Book) -> list[Device]:
    """Return the devices that show something, in the order of the file."""
    things = {**book.system.equipment, **book.system.loads}
    return [
        Device(ident, book.name(ident), book.where(thing.place), lights_of(ident, thing.indicators))
        for ident, thing in things.items()
        if thing.indicators
    ]


def lights_of(ident: str, indicators: list[Indicator]) -> tuple[Light, ...]:
    """Return the lights of one device; what must be done at once comes first."""
    order = ("now", "soon", "none")
    ranked = sorted(enumerate(indicators, 1), key=lambda entry: order.index(entry[1].urgency))
    return tuple(
        Light(
            Trusted(light(f"light-{ident}-{number}", one.colour, one.pattern, one.shows or "")),
            one.where,
            one.meaning,
            one.do,
            say(f"urgency.{one.urgency}"),
        )
        for number, one in ranked
    )
