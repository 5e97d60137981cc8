"""A fuse in its own holder."""

from typing import Literal

from pydantic import Field

from vandoc.ground.data import constant
from vandoc.model.base import Family, Overload, PositiveCurrent, Rating, Voltage
from vandoc.model.opens import Opens, by_maker
from vandoc.model.piece import Piece
from vandoc.model.traits import Protects, Withstands


class Fuse(Piece):
    """A fuse in its own holder."""

    terminals_of_kind = ("in", "out")
    sparks = True
    listed = 12
    needs_access = True
    class_letter = "F"
    kind: Literal["fuse"]
    family: Family
    rating_a: Rating | None = None
    calculated: bool = False
    voltage_v: Voltage | None = None
    holder_v: Voltage | None = Field(None, alias="holder_voltage")
    breaking_a: PositiveCurrent | None = None
    conditional_a: PositiveCurrent | None = None
    opens: Opens | None = None
    opens_at_percent: Overload | None = None

    def opens_at(self) -> float | None:
        return None if self.opens_at_percent is None else self.opens_at_percent / 100

    def withstands(self) -> Withstands:
        return Withstands(
            self.holder_v, asked_above_v=constant("lowest holder voltage").value, stated_as="holder_v"
        )

    def protects(self) -> Protects | None:
        states = by_maker(self.opens, self.conditional_a)
        return Protects("in", "out", self.family, self.rating_a, self.voltage_v, self.breaking_a, states)
