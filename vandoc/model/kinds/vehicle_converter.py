"""The converter of an electric base vehicle, which stands in for an alternator."""

from typing import Literal

from pydantic import Field

from vandoc.model.base import Voltage
from vandoc.model.kinds.alternator import VehicleSource


class VehicleConverter(VehicleSource):
    """The converter that feeds the 12 V or 24 V side of an electric base vehicle while it is switched on."""

    listed = 20
    class_letter = "T"
    kind: Literal["vehicle-converter"]
    output_v: Voltage | None = Field(None, alias="output_voltage")

    @property
    def held_v(self) -> float | None:
        return self.output_v

    def symbol(self) -> str:
        return "dc-dc"
