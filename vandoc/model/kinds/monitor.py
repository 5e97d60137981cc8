"""A battery monitor: a display that shows the state of charge."""

from typing import Literal

from vandoc.model.base import Current, Ident, Voltage
from vandoc.model.piece import FaultKind, Piece
from vandoc.model.traits import CutsOff, Draws, Lights


class Monitor(Piece):
    """A battery monitor: a display that shows the state of charge."""

    terminals_of_kind = ("+", "-")
    listed = 15
    class_letter = "P"
    kind: Literal["monitor"]
    shunt: Ident | None = None
    current_a: Current = 0.01
    alarm_v: Voltage | None = None

    def draws(self, nominal_v: float) -> Draws | None:
        return Draws("monitor", nominal_v, self.current_a)

    def cuts_off(self) -> CutsOff | None:
        return None if self.alarm_v is None else CutsOff(self.alarm_v, "alarm")

    def breaks(self) -> tuple[FaultKind, ...]:
        return ("dead",)

    def lights(self) -> Lights | None:
        return Lights("use", "voltage")
