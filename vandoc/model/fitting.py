"""What the installer records besides the circuits: alarms, and the work on the vehicle itself."""

from typing import Literal

from pydantic import Field

from vandoc.model.base import Area, Force, Ident, Length, Line, Mass, StrictModel, Text
from vandoc.model.van import Day

Detects = Literal["carbon monoxide", "gas", "smoke"]


class Alarm(StrictModel):
    """An alarm, with its place and the test of its sensor.

    A test button proves the sounder. Test gas or test smoke proves the sensor as well.
    """

    detects: Detects
    place: Ident
    position: Line | None = None
    height_m: Length | None = None
    from_burner_m: Length | None = None
    load: Ident | None = None
    standard: Line | None = None
    replace_by: Day | None = None
    tested: Day | None = None
    tested_with: Literal["test gas", "test smoke", "button"] | None = None


class PullTest(StrictModel):
    """A crimped lug that was pulled for a minute and did not move."""

    area_mm2: Area
    force_n: Force = Field(alias="force")


class Installation(StrictModel):
    """The installer's record of the work on the vehicle itself; vandoc records it as it is written."""

    gas_and_fuel_lines: Text | None = None
    cable_to_gas_m: Length | None = None
    board_to_gas_m: Length | None = None
    gas_pipe_sleeved: bool = False
    seat_and_airbag_wiring: Text | None = None
    body_bonding: Text | None = None
    gas_pipe_bonding: Text | None = None
    crimp_tool: Line | None = None
    pull_test: Line | None = None
    pulled: list[PullTest] = Field(default_factory=list)
    weight_kg: Mass | None = None
    payload_kg: Mass | None = None
