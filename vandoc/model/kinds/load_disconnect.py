"""A load disconnect, which opens by itself before the battery is flat."""

from typing import Literal

from vandoc.model.base import PositiveCurrent, Rating, Voltage
from vandoc.model.rated import Contact
from vandoc.model.traits import CutsOff, Drawing, Fact, Joins


class LoadDisconnect(Contact):
    """A load disconnect: its contact opens at a low battery voltage and closes once it is charged again."""

    terminals_of_kind = ("in", "out")
    sparks = True
    listed = 18
    label_of_kind = "contact"
    drawing = Drawing(
        (
            ("M", 8, 24, "H", 14, "L", 33, 12, "M", 34, 24, "H", 40),
            ("M", 14, 34, "H", 34, "V", 46, "H", 14, "Z", "M", 20, 37, "L", 24, 43, "L", 28, 37),
            ("M", 24, 34, "V", 18),
        ),
        8,
        8,
        2,
    )
    class_letter = "Q"
    kind: Literal["load-disconnect"]
    rating_a: Rating
    voltage_v: Voltage | None = None
    breaking_a: PositiveCurrent | None = None
    opens_v: Voltage
    closes_v: Voltage | None = None

    def joins(self) -> tuple[Joins, ...]:
        return (Joins("in", "out", "disconnect"),)

    def cuts_off(self) -> CutsOff | None:
        return CutsOff(self.opens_v, "disconnect", self.closes_v)

    def facts(self, nominal_v: float) -> tuple[tuple[Fact, ...], ...]:  # noqa: ARG002
        opens = (Fact(word="opens"), Fact(self.opens_v, "V", before=" "))
        return (Fact(self.rating_a, "A"),), opens

    def label_facts(self) -> tuple[str, ...]:
        return f"{self.rating_a:g}", f"{self.opens_v:g}"
