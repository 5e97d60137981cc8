"""A chassis earth point: a bolted joint to the vehicle's metal."""

from typing import Literal

from vandoc.model.piece import Piece
from vandoc.model.traits import CHASSIS, Joins


class EarthPoint(Piece):
    """A chassis earth point: a bolted joint to the vehicle's metal."""

    terminals_of_kind = ("",)
    listed = 13
    label_of_kind = "earth"
    side = "return"
    class_letter = "X"
    kind: Literal["earth-point"]
    clean: bool | None = None

    def joins(self) -> tuple[Joins, ...]:
        return (Joins("", CHASSIS, "earth"),)

    def symbol(self) -> str:
        return "earth"
