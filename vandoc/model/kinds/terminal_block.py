"""A terminal block: one terminal at which several cables meet."""

from typing import Literal

from vandoc.model.base import PositiveCurrent, Voltage
from vandoc.model.rated import Insulated
from vandoc.model.traits import Drawing


class TerminalBlock(Insulated):
    """A terminal block: one terminal at which several cables meet; each of its terminals is entered alone."""

    terminals_of_kind = ("",)
    listed = 21
    class_letter = "X"
    side = "either"
    drawing = Drawing(
        (
            ("M", 8, 14, "H", 40, "V", 34, "H", 8, "Z"),
            ("M", 20, 24, "a", 4, 4, 0, 1, 0, 8, 0, "a", 4, 4, 0, 1, 0, -8, 0),
            ("M", 8, 24, "H", 20, "M", 28, 24, "H", 40),
        ),
        8,
        8,
        14,
    )
    kind: Literal["terminal-block"]
    rating_a: PositiveCurrent
    voltage_v: Voltage | None = None
