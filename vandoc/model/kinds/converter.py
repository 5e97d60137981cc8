"""A DC-DC converter, such as 24 V to 12 V; its output current is limited."""

from typing import Literal

from pydantic import Field

from vandoc.model.base import Fraction, PositiveCurrent, Voltage
from vandoc.model.piece import FaultKind, Piece
from vandoc.model.traits import Draws, Fact, Lights, Supplies


class Converter(Piece):
    """A DC-DC converter, such as 24 V to 12 V; its output current is limited."""

    terminals_of_kind = ("in", "out", "-")
    sparks = True
    listed = 4
    class_letter = "T"
    kind: Literal["converter"]
    input_v: Voltage = Field(alias="input_voltage")
    output_v: Voltage = Field(alias="output_voltage")
    output_a: PositiveCurrent
    efficiency_percent: Fraction | None = None
    short_circuit_a: PositiveCurrent | None = None

    def supplies(self, nominal_v: float) -> Supplies | None:  # noqa: ARG002
        return Supplies(
            "converter",
            self.output_v,
            self.output_a,
            plus="out",
            inlet="in",
            short_circuit_a=self.short_circuit_a,
        )

    def draws(self, nominal_v: float) -> Draws | None:  # noqa: ARG002
        return Draws("converter", self.input_v, output_w=self.output_v * self.output_a, plus="in")

    def converts_w(self, nominal_v: float) -> float | None:  # noqa: ARG002
        return self.output_v * self.output_a

    def breaks(self) -> tuple[FaultKind, ...]:
        return ("dead",)

    def lights(self) -> Lights | None:
        return Lights("use", "voltage")

    def symbol(self) -> str:
        return "dc-dc"

    def facts(self, nominal_v: float) -> tuple[tuple[Fact, ...], ...]:  # noqa: ARG002
        across = (Fact(self.input_v, "V"), Fact(word="to", before=" "), Fact(self.output_v, "V", before=" "))
        return across, (Fact(self.output_a, "A"),)
