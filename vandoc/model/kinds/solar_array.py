"""Solar panels."""

from typing import Annotated, Literal

from pydantic import Field

from vandoc.model.base import Angle, Coefficient, PositiveCurrent, PositivePower, Voltage
from vandoc.model.piece import FaultKind, Piece
from vandoc.model.traits import Fact, Supplies


class SolarArray(Piece):
    """Solar panels connected in series, in parallel or both."""

    terminals_of_kind = ("+", "-")
    listed = 5
    class_letter = "G"
    kind: Literal["solar-array"]
    power_w: PositivePower
    voc_v: Voltage
    isc_a: PositiveCurrent
    vmp_v: Voltage | None = None
    voc_coefficient_percent_per_k: Coefficient = Field(-0.30, alias="voc_coefficient")
    series: Annotated[int, Field(ge=1, le=20)] = 1
    parallel: Annotated[int, Field(ge=1, le=20)] = 1
    bypass: bool | None = None
    tilt_deg: Angle = 0.0

    @property
    def total_w(self) -> float:
        """Rated power of all panels. [W]"""
        return self.power_w * self.series * self.parallel

    def supplies(self, nominal_v: float) -> Supplies | None:  # noqa: ARG002
        string_v = (self.vmp_v or 0.8 * self.voc_v) * self.series
        best_a = self.power_w * self.series / string_v * self.parallel
        return Supplies("solar", string_v, self.isc_a * self.parallel, charges_from="solar", best_a=best_a)

    def breaks(self) -> tuple[FaultKind, ...]:
        return ("not-feeding",)

    def symbol(self) -> str:
        return "solar"

    def number(self) -> int:
        return self.series * self.parallel

    def facts(self, nominal_v: float) -> tuple[tuple[Fact, ...], ...]:  # noqa: ARG002
        return ((Fact(self.power_w, "W", count=self.series * self.parallel),),)
