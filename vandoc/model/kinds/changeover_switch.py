"""A changeover switch, which connects one of two ways and never both."""

from typing import Literal, Self

from vandoc.model.base import PositiveCurrent, Rating, Voltage
from vandoc.model.rated import Contact
from vandoc.model.traits import Drawing, Fact, Joins


class ChangeoverSwitch(Contact):
    """A changeover switch; the van is calculated in its usual position, and a rule looks at the other one."""

    terminals_of_kind = ("common", "a", "b")
    sparks = True
    listed = 19
    label_of_kind = "contact"
    drawing = Drawing(
        (("M", 40, 24, "H", 34, "L", 16, 15, "M", 14, 14, "H", 8, "V", 24, "M", 14, 34, "H", 8, "V", 24),),
        8,
        8,
        12,
    )
    class_letter = "Q"
    kind: Literal["changeover-switch"]
    rating_a: Rating
    voltage_v: Voltage | None = None
    breaking_a: PositiveCurrent | None = None
    position: Literal["a", "b"] = "a"

    def joins(self) -> tuple[Joins, ...]:
        return (Joins("common", self.position, "changeover"),)

    def turned(self) -> Self:
        return self.model_copy(update={"position": "b" if self.position == "a" else "a"})

    def in_position(self) -> str:
        return self.position

    def facts(self, nominal_v: float) -> tuple[tuple[Fact, ...], ...]:  # noqa: ARG002
        return (Fact(self.rating_a, "A"),), (Fact(word="usually"), Fact(text=self.position, before=" "))

    def label_facts(self) -> tuple[str, ...]:
        return f"{self.rating_a:g}", self.position
