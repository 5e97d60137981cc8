"""A fuse board and its fuses."""

from typing import Annotated, Literal

from pydantic import Field

from vandoc.model.base import Area, Family, Overload, PositiveCurrent, Rating, StrictModel, Voltage
from vandoc.model.opens import Opens, by_maker
from vandoc.model.piece import Piece
from vandoc.model.traits import Carries, Positions


class BoardFuse(StrictModel):
    """A fuse on a board that feeds a cable, not a circuit."""

    rating_a: Rating | None = None
    calculated: bool = False
    opens: Opens | None = None


class FuseBoard(Piece):
    """A fuse board with one feed; positions are numbered along the rows from the top left."""

    sparks = True
    listed = 11
    needs_access = True
    class_letter = "U"
    kind: Literal["fuse-board"]
    family: Family
    rows: Annotated[int, Field(ge=1, le=40)]
    columns: Annotated[int, Field(ge=1, le=40)]
    rating_a: Rating | None = None
    voltage_v: Voltage | None = None
    cable_per_position_mm2: Area | None = None
    opens_at_percent: Overload | None = None
    conditional_a: PositiveCurrent | None = None
    fuses: dict[str, BoardFuse] = Field(default_factory=dict)

    def opens_at(self) -> float | None:
        return None if self.opens_at_percent is None else self.opens_at_percent / 100

    def terminals(self) -> tuple[str, ...]:
        return ("in", *(str(n) for n in range(1, self.rows * self.columns + 1)))

    def positions(self) -> Positions | None:
        stated = {position: fuse.rating_a for position, fuse in self.fuses.items()}
        makers = {position: by_maker(fuse.opens) for position, fuse in self.fuses.items()}
        count = self.rows * self.columns
        return Positions(
            "in", self.family, count, stated, self.voltage_v, makers, self.conditional_a, self.rows
        )

    def position_cable_mm2(self) -> float | str | None:
        return self.cable_per_position_mm2

    def carries(self) -> Carries | None:
        return Carries(self.rating_a, "in")

    def symbol(self) -> str:
        return "board"

    def optional_terminals(self) -> tuple[str, ...]:
        return self.terminals()
