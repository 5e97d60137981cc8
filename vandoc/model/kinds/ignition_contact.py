"""A contact of the vehicle that is closed only while the engine runs, or while the ignition is on."""

from typing import Literal

from vandoc.model.base import Rating
from vandoc.model.rated import Rated
from vandoc.model.traits import Drawing, Fact, Joins


class IgnitionContact(Rated):
    """A contact of the vehicle from which a signal or a supply is taken that is not always live."""

    terminals_of_kind = ("in", "out")
    sparks = True
    listed = 16
    drawing = Drawing(
        (
            ("M", 8, 24, "H", 14, "L", 33, 13, "M", 34, 24, "H", 40),
            ("M", 17, 34, "a", 4, 4, 0, 1, 0, 8, 0, "a", 4, 4, 0, 1, 0, -8, 0, "M", 25, 34, "H", 35, "v", 4),
        ),
        8,
        8,
        10,
    )
    class_letter = "Q"
    kind: Literal["ignition-contact"]
    live_with: Literal["engine", "ignition"]
    rating_a: Rating

    def joins(self) -> tuple[Joins, ...]:
        return (Joins("in", "out", "ignition", with_engine=True),)

    def facts(self, nominal_v: float) -> tuple[tuple[Fact, ...], ...]:  # noqa: ARG002
        return (Fact(self.rating_a, "A"),), (Fact(word=self.live_with),)

    def of_vehicle(self) -> bool:
        return True
