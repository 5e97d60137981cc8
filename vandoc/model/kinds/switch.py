"""A switch in a circuit."""

from typing import Literal

from vandoc.model.base import PositiveCurrent, Rating, Voltage
from vandoc.model.rated import Contact
from vandoc.model.traits import Joins


class Switch(Contact):
    """A switch in a circuit."""

    terminals_of_kind = ("in", "out")
    sparks = True
    listed = 9
    class_letter = "Q"
    kind: Literal["switch"]
    rating_a: Rating
    voltage_v: Voltage | None = None
    breaking_a: PositiveCurrent | None = None

    def joins(self) -> tuple[Joins, ...]:
        return (Joins("in", "out", "switch"),)

    def optional_terminals(self) -> tuple[str, ...]:
        return self.terminals()
