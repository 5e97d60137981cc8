"""Values written into a van file in the place of those that were unknown."""

from typing import Any

from vandoc.doors.recording.prompts import in_unit
from vandoc.doors.recording.words import say
from vandoc.ground.measures import METRIC, measure, measures
from vandoc.model.unknowns import Quantity, Unknown
from vandoc.reading import editing

UNITS: dict[Quantity, str] = {
    "length": "m",
    "area": "mm²",
    "insulation": "°C",
    "rating": "A",
    "current": "A",
    "power": "W",
    "capacity": "Ah",
}
WORDS: tuple[Quantity, ...] = ("family", "chemistry", "through")
"""Quantities that are stated in words; an item that nobody knows is described by hand."""


def can_be_entered(one: Unknown) -> bool:
    """Whether an answer can replace an unknown: not if the kind of an item itself is not known."""
    return one.quantity in UNITS or one.quantity in WORDS


def answered(one: Unknown, text: str) -> str:
    """Return an answer as it is written to the file: with the unit of the prompt if it has none.

    Raises
    ------
    ValueError
        If the answer is that it is still unknown, which is no change.
    """
    if text.casefold() == "unknown":
        raise ValueError(say("unknowns.still"))
    return in_unit(text, unit_of(one))


def unit_of(one: Unknown) -> str:
    """Return the unit of an answer without one; empty for words."""
    if one.quantity == "area" and measures() != METRIC:
        return "AWG"
    return measure(UNITS.get(one.quantity, ""))


def with_known(draft: editing.Draft, one: Unknown, text: str) -> editing.Draft:
    """Return the draft with a value in the place of an unknown one."""
    places = [place.strip() for place in text.split(",")]

    def change(tree: Any) -> None:
        editing.set_at(tree, one.trail, editing.flow_list(places) if one.quantity == "through" else text)

    return editing.changed(draft, change)
