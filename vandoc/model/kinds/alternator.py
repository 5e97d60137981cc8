"""The vehicle's alternator."""

from typing import Literal

from pydantic import Field

from vandoc.model.base import AlternatorCurrent, Current, Voltage
from vandoc.model.piece import FaultKind, Piece
from vandoc.model.traits import CHASSIS, Fact, Joins, Supplies


class Alternator(Piece):
    """The vehicle's alternator."""

    terminals_of_kind = ("+", "-")
    sparks = True
    listed = 2
    kind: Literal["alternator"]
    rating_a: AlternatorCurrent
    regulation: Literal["fixed", "smart"] = Field(
        description="smart: the vehicle's computer sets the voltage"
    )
    nominal_v: Voltage | None = None
    spare_a: Current | None = Field(None, description="current available for charging the leisure batteries")

    def joins(self) -> tuple[Joins, ...]:
        return (Joins("-", CHASSIS, "case", unless_cabled=True),)

    def supplies(self, nominal_v: float) -> Supplies | None:
        return Supplies("alternator", self.nominal_v or nominal_v, self.rating_a, charges_from="alternator")

    def breaks(self) -> tuple[FaultKind, ...]:
        return ("dead",)

    def symbol(self) -> str:
        return "generator"

    def facts(self, nominal_v: float) -> tuple[tuple[Fact, ...], ...]:  # noqa: ARG002
        return ((Fact(self.rating_a, "A"),),)

    def of_vehicle(self) -> bool:
        return True

    def optional_terminals(self) -> tuple[str, ...]:
        return self.terminals()
