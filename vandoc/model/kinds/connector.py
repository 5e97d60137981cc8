"""A plug and its socket in a cable."""

from typing import Literal

from vandoc.model.base import PositiveCurrent, Voltage
from vandoc.model.rated import Insulated
from vandoc.model.traits import Drawing, Joins


class Connector(Insulated):
    """A plug and its socket in a cable; a further contact of it is entered as another connector."""

    terminals_of_kind = ("in", "out")
    listed = 22
    class_letter = "X"
    drawing = Drawing(
        (
            ("M", 8, 24, "H", 18, "M", 30, 24, "H", 40),
            ("M", 24, 16, "a", 8, 8, 0, 0, 0, 0, 16),
            ("M", 30, 21, "V", 27, "H", 22, "V", 21, "Z"),
        ),
        8,
        8,
        16,
    )
    kind: Literal["connector"]
    rating_a: PositiveCurrent
    voltage_v: Voltage | None = None
    live_side: Literal["socket", "pins"] | None = None

    def joins(self) -> tuple[Joins, ...]:
        return (Joins("in", "out", "plug"),)

    def optional_terminals(self) -> tuple[str, ...]:
        return self.terminals()
