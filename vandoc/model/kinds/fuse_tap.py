"""A fuse tap: it takes a further circuit, with a fuse of its own, from a position of a fuse box."""

from typing import Literal

from vandoc.model.base import PositiveCurrent, Voltage
from vandoc.model.piece import Piece
from vandoc.model.traits import Protects


class FuseTap(Piece):
    """A fuse tap: it takes a further circuit, with a fuse of its own, from a position of a fuse box."""

    terminals_of_kind = ("in", "out")
    sparks = True
    listed = 24
    class_letter = "F"
    needs_access = True
    kind: Literal["fuse-tap"]
    family: Literal["C", "E", "F"]
    rating_a: PositiveCurrent
    voltage_v: Voltage | None = None
    breaking_a: PositiveCurrent | None = None
    largest_fuse_a: PositiveCurrent | None = None
    fed_first: bool | None = None

    def protects(self) -> Protects | None:
        return Protects("in", "out", self.family, self.rating_a, self.voltage_v, self.breaking_a)

    def symbol(self) -> str:
        return "fuse"
