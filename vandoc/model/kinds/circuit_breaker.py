"""A circuit breaker: a fuse that is reset by hand, and a switch."""

from typing import Literal

from vandoc.model.base import Overload, PositiveCurrent, Rating, Voltage
from vandoc.model.piece import Piece
from vandoc.model.traits import Drawing, Joins, Protects

INSIDE = "inside"


class CircuitBreaker(Piece):
    """A circuit breaker; no standard gives its breaking capacity, so that its label counts."""

    terminals_of_kind = ("in", "out")
    sparks = True
    listed = 17
    label_of_kind = "contact"
    needs_access = True
    drawing = Drawing(
        (
            ("M", 8, 24, "H", 14, "L", 33, 12, "M", 34, 24, "H", 40),
            ("M", 31, 21, "L", 37, 27, "M", 37, 21, "L", 31, 27),
            ("M", 21, 20, "v", -8, "h", 5, "v", -5),
        ),
        8,
        8,
        16,
    )
    class_letter = "F"
    kind: Literal["circuit-breaker"]
    rating_a: Rating
    voltage_v: Voltage
    breaking_a: PositiveCurrent
    isolates: bool = False
    opens_at_percent: Overload | None = None

    def opens_at(self) -> float | None:
        return None if self.opens_at_percent is None else self.opens_at_percent / 100

    def joins(self) -> tuple[Joins, ...]:
        return (Joins("in", INSIDE, "isolator" if self.isolates else "breaker"),)

    def protects(self) -> Protects | None:
        return Protects(INSIDE, "out", "breaker", self.rating_a, self.voltage_v, self.breaking_a)

    def label_facts(self) -> tuple[str, ...]:
        return (f"{self.rating_a:g}",)
