"""A battery isolator, which disconnects a battery from everything."""

from typing import Literal

from vandoc.model.base import PositiveCurrent, Rating, Voltage
from vandoc.model.rated import Contact
from vandoc.model.traits import Joins


class Isolator(Contact):
    """A battery isolator, which disconnects a battery from everything."""

    terminals_of_kind = ("in", "out")
    sparks = True
    listed = 8
    label_of_kind = "isolator"
    needs_access = True
    class_letter = "Q"
    kind: Literal["isolator"]
    rating_a: Rating
    voltage_v: Voltage | None = None
    breaking_a: PositiveCurrent | None = None

    def joins(self) -> tuple[Joins, ...]:
        return (Joins("in", "out", "isolator"),)
