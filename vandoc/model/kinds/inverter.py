"""An inverter, which makes mains voltage from the battery."""

from typing import Literal

from vandoc.model.base import Fraction, PositivePower, StartTime, Voltage
from vandoc.model.piece import FaultKind, Piece
from vandoc.model.traits import CutsOff, Draws, Fact, Inrush, Lights
from vandoc.model.van import Hours


class Inverter(Piece):
    """An inverter, which makes mains voltage from the battery."""

    terminals_of_kind = ("+", "-")
    sparks = True
    listed = 7
    usual_efficiency = "inverter efficiency"
    class_letter = "T"
    kind: Literal["inverter"]
    power_w: PositivePower
    surge_w: PositivePower | None = None
    surge_time_h: StartTime | None = None
    efficiency_percent: Fraction | None = None
    nominal_v: Voltage | None = None
    lowest_v: Voltage | None = None
    precharge: bool | None = None
    hours: Hours | None = None

    def draws(self, nominal_v: float) -> Draws | None:
        return Draws("inverter", self.nominal_v or nominal_v, output_w=self.power_w)

    def converts_w(self, nominal_v: float) -> float | None:  # noqa: ARG002
        return self.power_w

    def cuts_off(self) -> CutsOff | None:
        return CutsOff(self.lowest_v, "load")

    def least_v(self) -> float | None:
        return self.lowest_v

    def inrush(self) -> Inrush | None:
        if self.surge_w is None:
            return None
        return Inrush("surge", output_w=self.surge_w, time_h=self.surge_time_h)

    def hours_of_use(self) -> Hours | None:
        return self.hours

    def mains(self) -> Literal["hook_up", "inverter_output"] | None:
        return "inverter_output"

    def breaks(self) -> tuple[FaultKind, ...]:
        return ("dead",)

    def lights(self) -> Lights | None:
        return Lights("inverter", "voltage")

    def facts(self, nominal_v: float) -> tuple[tuple[Fact, ...], ...]:  # noqa: ARG002
        return ((Fact(self.power_w, "W"),),)
