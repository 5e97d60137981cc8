"""A bar that connects several cables."""

from typing import Literal

from vandoc.model.base import Rating
from vandoc.model.piece import Piece
from vandoc.model.traits import Carries, Fact


class Busbar(Piece):
    """A bar that connects several cables."""

    terminals_of_kind = ("",)
    listed = 10
    side = "either"
    class_letter = "W"
    kind: Literal["busbar"]
    rating_a: Rating

    def stud_for_each(self) -> bool:
        return True

    def carries(self) -> Carries | None:
        return Carries(self.rating_a)

    def facts(self, nominal_v: float) -> tuple[tuple[Fact, ...], ...]:  # noqa: ARG002
        return ((Fact(self.rating_a, "A"),),)
