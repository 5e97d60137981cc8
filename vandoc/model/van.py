"""The van itself, its installer, mounting locations and use."""

from datetime import date
from typing import Annotated, Literal

from pydantic import Field, StringConstraints

from vandoc.model.base import (
    Angle,
    Distance,
    HoursPerDay,
    Ident,
    Language,
    Length,
    Line,
    Name,
    Opening,
    PositiveCurrent,
    Share,
    StrictModel,
    Temperature,
    Text,
    Voltage,
)

BY_DESCRIPTION = "name of the workshop, not of a person: it is published"
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
"""Work that recurs, each kind only if what it applies to is fitted."""

Measure = Annotated[
    str,
    StringConstraints(pattern=r"^[a-z]+(-[a-z]+)*\.[a-z0-9][a-z0-9.+ -]*$", max_length=130),
    Field(description="a measurement on the test sheet, such as 'drop.fridge'"),
]
WebAddress = Annotated[
    str, StringConstraints(pattern=r"^https?://[A-Za-z0-9._~:/?#@!$&()*+,;=%-]+$", max_length=300)
]


class Size(StrictModel):
    """The van seen from above."""

    length_m: Length
    width_m: Length
    driver: Literal["left", "right"] = Field(description="driver's side, facing forward")


class Van(StrictModel):
    """The van itself; nothing here identifies its owner or its registration."""

    name: Name
    base: Line | None = Field(None, description="vehicle in general terms")
    nominal_v: Voltage = Field(description="12 V, 24 V or 48 V")
    size: Size
    built: Day | None = None
    revision: int = Field(1, ge=1, le=999)
    published: WebAddress | None = Field(None, description="address at which the manual is published")
    basis: Basis | None = Field(
        None, description="standard for current-carrying capacities; default: the strictest that vandoc knows"
    )
    language: Language | None = Field(
        None, description="language of the manual, such as 'en'; default: that of the workshop file"
    )
    invented: bool = Field(False, description="true for a fictitious demonstration van")


class Workshop(StrictModel):
    """The workshop that the owner calls."""

    name: Name
    phone: Line | None = None
    email: Line | None = None
    web: WebAddress | None = None
    hours: Line | None = None


class Picture(StrictModel):
    """A photograph in the folder of the van file."""

    file: Line
    alt: Line = Field(description="text description for readers who cannot see it")


class Spot(StrictModel):
    """A position on the plan: back from the front bumper, across from the driver's side."""

    back_m: Length
    across_m: Length


class Place(StrictModel):
    """A location where something is mounted."""

    label: Name = Field(description="the owner's name for it, such as 'under the driver's seat'")
    at: Spot
    access: Text | None = Field(None, description="how to reach it, told to the owner")
    hottest_c: Temperature = Field(40.0, description="maximum ambient temperature; default: 40 °C")
    coldest_c: Temperature = Field(-10.0, description="minimum ambient temperature; default: −10 °C")
    vent_cm2: Opening | None = Field(None, description="free area of its vents")
    vents_to: Literal["outside", "living space"] | None = None
    inside: bool = Field(True, description="in the living area")
    gas_locker: bool = False
    beside: list[Literal["exhaust", "fuel", "gas"]] | None = Field(
        None, max_length=3, description="exhaust, fuel tank or line, or gas pipe within 300 mm"
    )
    sleeping: bool | None = Field(None, description="under or beside a bed, or open to one")
    engine_space: bool = False
    picture: Picture | None = None


class Hours(StrictModel):
    """Hours a day, by season."""

    summer_h: HoursPerDay
    winter_h: HoursPerDay


class Use(StrictModel):
    """How the van is used."""

    driven_h: HoursPerDay | None = Field(None, description="driving hours a day")
    hook_up_h: HoursPerDay | None = Field(None, description="hours a day on hook-up")
    shade_percent: Share | None = Field(
        None, description="share of solar energy lost to shade where the van is parked"
    )
    latitude_deg: Angle | None = None
    months: list[Annotated[int, Field(ge=1, le=12)]] = Field(default_factory=list, max_length=12)
    nights: Annotated[int, Field(ge=0, le=60)] | None = Field(
        None, description="number of nights the battery must last without charging"
    )


class MainsRecord(StrictModel):
    """Mains equipment as recorded; vandoc never assesses it."""

    where: Ident | None = None
    rcd: Line | None = None
    protective_device: Line | None = None
    neutral_earth_bond: Line | None = Field(
        None, description="where neutral and earth are connected, as certified"
    )
    polarity: Line | None = Field(None, description="result of the polarity test")
    inspected: Day | None = None
    inspected_by: Line | None = Field(None, description=BY_DESCRIPTION)
    notes: Text | None = None


class Mains(StrictModel):
    """The two sources of mains voltage."""

    hook_up: MainsRecord | None = None
    inverter_output: MainsRecord | None = None
    changeover: Line | None = Field(
        None, description="device that keeps hook-up and inverter from feeding the same sockets"
    )


class Reading(StrictModel):
    """A reading: a measurement on the test sheet, named by `measure`, or any other, described by `what`."""

    measure: Measure | None = None
    what: Line | None = Field(None, description="description of a measurement that is not on the test sheet")
    at: Line | None = Field(None, description="item, terminal, cable or circuit")
    value: Line
    current_a: PositiveCurrent | None = Field(
        None, description="current during the reading, for a voltage drop"
    )
    note: Text | None = None


class Review(StrictModel):
    """A finding to be reviewed that a person or workshop has reviewed and accepted.

    It holds for the values that it accepted, and for nothing else.
    """

    rule: Line = Field(description="rule of the finding, such as 'relay-current-unlimited'")
    subject: Line = Field(description="item that the finding names in the van file")
    accepts: Text = Field(
        description="values accepted, as printed with the finding; if they change, the review is void"
    )
    by: Line = Field(description="person or workshop that reviewed it: it is published")
    date: Day
    why: Text = Field(description="reason why it is acceptable")
    evidence: Text = Field(description="data sheet, measurement or calculation on which the reason is based")


class Commissioning(StrictModel):
    """Readings taken on one day."""

    date: Day
    by: Line | None = Field(None, description=BY_DESCRIPTION)
    readings: list[Reading] = Field(min_length=1)


class Service(StrictModel):
    """One visit to a workshop."""

    date: Day
    by: Line = Field(description=BY_DESCRIPTION)
    odometer_km: Distance | None = None
    replaced: list[Ident] = Field(
        default_factory=list, description="items, loads, cables or circuits that were replaced"
    )
    done: list[Task] = Field(default_factory=list, description="work done; sets the next due dates")
    readings: list[Reading] = Field(default_factory=list)
    notes: Text | None = None
