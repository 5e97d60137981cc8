"""A battery isolator, which disconnects a battery from everything."""

from typing import Literal

from vandoc.model.base import PositiveCurrent, Rating, Voltage
from vandoc.model.piece import Piece
from vandoc.model.traits import Carries, Fact, Joins, Withstands


class Isolator(Piece):
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

    def withstands(self) -> Withstands:
        return Withstands(self.voltage_v, self.breaking_a, opens=True)

    def joins(self) -> tuple[Joins, ...]:
        return (Joins("in", "out", "isolator"),)

    def carries(self) -> Carries | None:
        return Carries(self.rating_a)

    def facts(self, nominal_v: float) -> tuple[tuple[Fact, ...], ...]:  # noqa: ARG002
        return ((Fact(self.rating_a, "A"),),)
