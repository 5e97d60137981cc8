"""A fuse in its own holder."""

from typing import Literal

from pydantic import Field

from vandoc.model.base import PositiveCurrent, Voltage
from vandoc.model.piece import Piece
from vandoc.model.traits import FittedFamily, Protects


class Fuse(Piece):
    """A fuse in its own holder."""

    terminals_of_kind = ("in", "out")
    sparks = True
    listed = 12
    needs_access = True
    kind: Literal["fuse"]
    family: FittedFamily
    rating_a: PositiveCurrent | None = Field(None, description="proposed if omitted")
    voltage_v: Voltage | None = Field(None, description="rated voltage printed on it")
    breaking_a: PositiveCurrent | None = Field(None, description="breaking capacity, manufacturer's figure")

    def protects(self) -> Protects | None:
        return Protects("in", "out", self.family, self.rating_a, self.voltage_v, self.breaking_a)
