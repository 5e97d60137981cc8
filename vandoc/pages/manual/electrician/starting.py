"""The electrician's table of devices that are starting."""

from collections.abc import Iterator
from dataclasses import dataclass

from vandoc.ground.figures import fixed, number
from vandoc.pages.manual.book import Book
from vandoc.pages.manual.text import say
from vandoc.physics.network.operating import SolvedState


@dataclass(frozen=True)
class StartRow:
    """One device that starts; numbers as text, units in the table heading.

    Attributes
    ----------
    volts, lowest : str
        Empty if the voltage collapses, or if nothing is stated.
    basis : str
        Whether its current is stated or usual for its kind.
    """

    name: str
    amps: str
    time: str
    volts: str
    lowest: str
    basis: str


def start_rows(book: Book) -> Iterator[StartRow]:
    """Yield each device that starts, in the order of the file."""
    consumers = {consumer.owner: consumer for consumer in book.network.consumers}
    for start, found in book.van.starts:
        consumer = consumers[start.owner]
        volts = None
        if isinstance(found, SolvedState):
            volts = found.across_v(consumer.plus, consumer.minus)
        least = book.system.things[start.owner].least_v()
        yield StartRow(
            book.name(start.owner),
            number(start.amps_a),
            number(start.time_s),
            "" if volts is None else fixed(volts, 2),
            "" if least is None else fixed(least, 2),
            say("start_stated" if start.stated else "start_usual"),
        )
