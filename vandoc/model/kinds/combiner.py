"""A combiner, which connects the positives of several strings of panels."""

from typing import Annotated, Literal

from pydantic import Field

from vandoc.model.base import PositiveCurrent, Voltage
from vandoc.model.rated import Insulated
from vandoc.model.traits import Carries, Joins, Positions


class Combiner(Insulated):
    """A combiner of the positives of several strings of panels, with a fuse for each or without."""

    listed = 25
    class_letter = "X"
    kind: Literal["combiner"]
    inputs: Annotated[int, Field(ge=2, le=12)]
    rating_a: PositiveCurrent
    voltage_v: Voltage | None = None
    fuse_a: PositiveCurrent | None = None

    def terminals(self) -> tuple[str, ...]:
        return ("out", *self._numbers())

    def _numbers(self) -> tuple[str, ...]:
        return tuple(str(number) for number in range(1, self.inputs + 1))

    def positions(self) -> Positions | None:
        if self.fuse_a is None:
            return None
        stated = dict.fromkeys(self._numbers(), self.fuse_a)
        return Positions("out", "gPV", self.inputs, stated, self.voltage_v)

    def joins(self) -> tuple[Joins, ...]:
        if self.fuse_a is not None:
            return ()
        return tuple(Joins(number, "out", "plug") for number in self._numbers())

    def carries(self) -> Carries | None:
        return Carries(self.rating_a, "out")

    def symbol(self) -> str:
        return "board"

    def optional_terminals(self) -> tuple[str, ...]:
        return self._numbers()
