"""What the installer records besides the circuits: alarms, and the work on the vehicle itself."""

from typing import Literal

from pydantic import Field

from vandoc.model.base import Ident, Length, Line, Mass, StrictModel, Text
from vandoc.model.van import Day

Detects = Literal["carbon monoxide", "gas", "smoke"]


class Alarm(StrictModel):
    """An alarm, with its place and the test of its sensor.

    A test button proves the sounder. Test gas or test smoke proves the sensor as well.
    """

    detects: Detects
    place: Ident
    position: Line | None = Field(None, description="its position in that room, told to the owner")
    height_m: Length | None = Field(None, description="height above the floor")
    from_burner_m: Length | None = Field(None, description="distance from the nearest burner")
    load: Ident | None = Field(None, description="load that feeds it; omitted if it has a battery of its own")
    standard: Line | None = Field(None, description="standard marked on it, such as 'EN 50291-2'")
    replace_by: Day | None = Field(None, description="expiry date marked on it")
    tested: Day | None = None
    tested_with: Literal["test gas", "test smoke", "button"] | None = Field(
        None, description="a button proves the sounder only"
    )


class Installation(StrictModel):
    """The installer's record of the work on the vehicle itself; vandoc records it as it is written."""

    gas_and_fuel_lines: Text | None = Field(
        None, description="distance and protection of cables near gas and fuel lines"
    )
    seat_and_airbag_wiring: Text | None = Field(
        None, description="seats and airbags whose wiring was touched, and how it was tested"
    )
    body_bonding: Text | None = Field(None, description="bonding of the vehicle body")
    gas_pipe_bonding: Text | None = Field(None, description="bonding of metal gas pipes")
    crimp_tool: Line | None = Field(None, description="crimping tool and die, with its last check")
    pull_test: Line | None = Field(None, description="sizes pulled, force and result")
    weight_kg: Mass | None = Field(None, description="weight of everything fitted")
    payload_kg: Mass | None = Field(None, description="payload of the vehicle before the work")
