"""A switch in a circuit."""

from typing import Literal

from vandoc.model.base import PositiveCurrent, Rating, Voltage
from vandoc.model.piece import Piece
from vandoc.model.traits import Carries, Fact, Joins, Withstands


class Switch(Piece):
    """A switch in a circuit."""

    terminals_of_kind = ("in", "out")
    sparks = True
    listed = 9
    class_letter = "Q"
    kind: Literal["switch"]
    rating_a: Rating
    voltage_v: Voltage | None = None
    breaking_a: PositiveCurrent | None = None

    def withstands(self) -> Withstands:
        return Withstands(self.voltage_v, self.breaking_a, opens=True)

    def joins(self) -> tuple[Joins, ...]:
        return (Joins("in", "out", "switch"),)

    def carries(self) -> Carries | None:
        return Carries(self.rating_a)

    def facts(self, nominal_v: float) -> tuple[tuple[Fact, ...], ...]:  # noqa: ARG002
        return ((Fact(self.rating_a, "A"),),)

    def optional_terminals(self) -> tuple[str, ...]:
        return self.terminals()
