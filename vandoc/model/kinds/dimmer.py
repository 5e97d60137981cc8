"""A dimmer for one lamp or several."""

from typing import Literal

from vandoc.model.base import PositiveCurrent, Voltage
from vandoc.model.rated import Insulated
from vandoc.model.traits import Drawing, Joins


class Dimmer(Insulated):
    """A dimmer; all lamps on it count together."""

    terminals_of_kind = ("in", "out")
    sparks = True
    listed = 23
    class_letter = "Q"
    drawing = Drawing(
        (
            ("M", 8, 24, "H", 14, "L", 33, 13, "M", 34, 24, "H", 40),
            ("M", 14, 40, "L", 34, 40, "L", 34, 32, "Z"),
        ),
        8,
        8,
        8,
    )
    kind: Literal["dimmer"]
    rating_a: PositiveCurrent
    voltage_v: Voltage | None = None

    def joins(self) -> tuple[Joins, ...]:
        return (Joins("in", "out", "switch"),)

    def optional_terminals(self) -> tuple[str, ...]:
        return self.terminals()
