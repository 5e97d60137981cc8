"""A kind of equipment that is not ours: a switch that opens after a time, and draws a little itself."""

from typing import Literal

from vandoc.model.base import Current, PositiveCurrent
from vandoc.model.piece import FaultKind, Piece
from vandoc.model.traits import Drawing, Draws, Fact, Joins, Lights


class RunOnTimer(Piece):
    """A switch that opens some time after it was let go."""

    terminals_of_kind = ("in", "out", "-")
    sparks = True
    drawing = Drawing(
        (("M", 8, 16, "H", 40, "V", 32, "H", 8, "Z"), ("M", 24, 24, "V", 18, "H", 29)), 8, 8, below=16
    )
    kind: Literal["run-on-timer"]
    rating_a: PositiveCurrent
    own_current_a: Current = 0.02

    def joins(self) -> tuple[Joins, ...]:
        return (Joins("in", "out", "switch"),)

    def draws(self, nominal_v: float) -> Draws:
        return Draws("monitor", nominal_v, self.own_current_a, plus="in")

    def breaks(self) -> tuple[FaultKind, ...]:
        return ("dead",)

    def lights(self) -> Lights:
        return Lights("use", "voltage")

    def facts(self, nominal_v: float) -> tuple[tuple[Fact, ...], ...]:  # noqa: ARG002
        return ((Fact(self.rating_a, "A"), Fact(word="timed")),)
