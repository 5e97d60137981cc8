"""The contact of a relay; `split-charge` connects the leisure battery to the starter battery."""

from typing import Literal

from vandoc.model.base import Line, PositiveCurrent, Rating, Voltage
from vandoc.model.rated import Contact
from vandoc.model.traits import Joins, Lights


class Relay(Contact):
    """The contact of a relay; `split-charge` connects the leisure battery to the starter battery."""

    terminals_of_kind = ("a", "b")
    sparks = True
    listed = 6
    class_letter = "Q"
    kind: Literal["relay"]
    purpose: Literal["split-charge", "load"]
    rating_a: Rating
    voltage_v: Voltage | None = None
    breaking_a: PositiveCurrent | None = None
    control: Line | None = None

    def joins(self) -> tuple[Joins, ...]:
        charges = self.purpose == "split-charge"
        return (Joins("a", "b", "relay", with_engine=charges, joins_batteries=charges),)

    def lights(self) -> Lights | None:
        return Lights("alternator", "contact") if self.purpose == "split-charge" else None
