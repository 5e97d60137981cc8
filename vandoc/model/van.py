"""The van itself, who made the installation, where things are mounted and how the van is used."""

from datetime import date
from typing import Annotated, Literal

from pydantic import Field, StringConstraints

from vandoc.model.base import (
    Angle,
    Distance,
    HoursPerDay,
    Ident,
    Length,
    Line,
    Name,
    Opening,
    Part,
    PositiveCurrent,
    Share,
    Temperature,
    Text,
    Voltage,
)

BY = "the workshop, not a person: it is published"
Day = Annotated[date, Field(strict=False)]
Basis = Literal["33 CFR 183.425", "ISO 13297", "IEC 60364-5-52"]
Task = Literal[
    "re-torque",
    "drop-test",
    "capacity-test",
    "cell-balance",
    "electrolyte",
    "rcd-test",
    "mains-inspection",
    "alarm-test",
]
"""What is done again and again, each only where what it is for is fitted."""

Measure = Annotated[
    str,
    StringConstraints(pattern=r"^[a-z]+(-[a-z]+)*\.[a-z0-9][a-z0-9.+ -]*$", max_length=130),
    Field(description="a measurement of the sheet, as in 'drop.fridge'"),
]
WebAddress = Annotated[
    str, StringConstraints(pattern=r"^https?://[A-Za-z0-9._~:/?#@!$&()*+,;=%-]+$", max_length=300)
]


class Size(Part):
    """The van seen from above."""

    length_m: Length
    width_m: Length
    driver: Literal["left", "right"] = Field(description="which side the driver sits, facing forward")


class Van(Part):
    """What the van is; nothing here identifies its owner or its registration."""

    name: Name
    base: Line | None = Field(None, description="the vehicle in general terms")
    nominal_v: Voltage = Field(description="12 V, 24 V or 48 V")
    size: Size
    built: Day | None = None
    revision: int = Field(1, ge=1, le=999)
    published: WebAddress | None = Field(None, description="address at which the manual is published")
    basis: Basis | None = Field(
        None, description="the standard to check against; default: the strictest of those known"
    )
    invented: bool = Field(False, description="true for a demonstration van that does not exist")


class Workshop(Part):
    """Whom the owner calls."""

    name: Name
    phone: Line | None = None
    email: Line | None = None
    web: WebAddress | None = None
    hours: Line | None = None


class Picture(Part):
    """A photograph that lies beside the van file."""

    file: Line
    alt: Line = Field(description="text description for readers who cannot see it")


class Spot(Part):
    """Where in the plan: metres back from the front bumper, and across from the driver's side."""

    back_m: Length
    across_m: Length


class Place(Part):
    """A place where something is mounted."""

    label: Name = Field(description="in the owner's words, as in 'under the driver's seat'")
    at: Spot
    access: Text | None = Field(None, description="how the owner reaches it")
    hottest_c: Temperature = Field(40.0, description="highest ambient temperature, 40 °C when left out")
    coldest_c: Temperature = Field(-10.0, description="lowest ambient temperature, -10 °C when left out")
    vent_cm2: Opening | None = Field(None, description="free area of its vents")
    vents_to: Literal["outside", "living space"] | None = None
    inside: bool = Field(True, description="inside the living space")
    gas_locker: bool = False
    engine_space: bool = False
    picture: Picture | None = None


class Hours(Part):
    """Hours a day, by season."""

    summer_h: HoursPerDay
    winter_h: HoursPerDay


class Use(Part):
    """How the van is lived in."""

    driven_h: HoursPerDay | None = Field(None, description="hours driven a day")
    hook_up_h: HoursPerDay | None = Field(None, description="hours a day on hook-up")
    shade_percent: Share | None = Field(None, description="share of the sun lost to shade where it is parked")
    latitude_deg: Angle | None = None
    months: list[Annotated[int, Field(ge=1, le=12)]] = Field(default_factory=list, max_length=12)
    nights: Annotated[int, Field(ge=0, le=60)] | None = Field(
        None, description="nights the battery must last without charging"
    )


class MainsRecord(Part):
    """Mains equipment as it was recorded; vandoc never judges it."""

    where: Ident | None = None
    rcd: Line | None = None
    protective_device: Line | None = None
    inspected: Day | None = None
    inspected_by: Line | None = Field(None, description=BY)
    notes: Text | None = None


class Mains(Part):
    """The two places where mains voltage can be found."""

    hook_up: MainsRecord | None = None
    inverter_output: MainsRecord | None = None


class Reading(Part):
    """One measurement: of the van's sheet, named by `measure`, or any other, said by `what`."""

    measure: Measure | None = None
    what: Line | None = Field(None, description="description of a reading that is not on the test sheet")
    at: Line | None = Field(None, description="a piece, terminal, cable or circuit")
    value: Line
    current_a: PositiveCurrent | None = Field(
        None, description="current during the reading, for a voltage drop"
    )
    note: Text | None = None


class Commissioning(Part):
    """Readings taken on one day."""

    date: Day
    by: Line | None = Field(None, description=BY)
    readings: list[Reading] = Field(min_length=1)


class Service(Part):
    """One visit to a workshop."""

    date: Day
    by: Line = Field(description=BY)
    odometer_km: Distance | None = None
    replaced: list[Ident] = Field(
        default_factory=list, description="pieces, loads, cables or circuits that are new since then"
    )
    done: list[Task] = Field(default_factory=list, description="work done; sets the next due dates")
    readings: list[Reading] = Field(default_factory=list)
    notes: Text | None = None
