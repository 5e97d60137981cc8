"""The van itself, its installer, mounting locations and use."""

from datetime import date
from typing import Annotated, Literal

from pydantic import Field, StringConstraints

from vandoc.model.base import (
    Angle,
    Described,
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
    Described("measure"),
]
WebAddress = Annotated[
    str, StringConstraints(pattern=r"^https?://[A-Za-z0-9._~:/?#@!$&()*+,;=%-]+$", max_length=300)
]


class Size(StrictModel):
    """The van seen from above."""

    length_m: Length
    width_m: Length
    driver: Literal["left", "right"]


class Van(StrictModel):
    """The van itself; nothing here identifies its owner or its registration."""

    name: Name
    base: Line | None = None
    nominal_v: Voltage
    size: Size
    built: Day | None = None
    revision: int = Field(1, ge=1, le=999)
    archived: bool = False
    published: WebAddress | None = None
    basis: Basis | None = None
    language: Language | None = None
    invented: bool = False


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
    alt: Line


class Spot(StrictModel):
    """A position on the plan: back from the front bumper, across from the driver's side."""

    back_m: Length
    across_m: Length


class Place(StrictModel):
    """A location where something is mounted."""

    label: Name
    at: Spot
    access: Text | None = None
    hottest_c: Temperature = 40.0
    coldest_c: Temperature = -10.0
    vent_cm2: Opening | None = None
    vents_to: Literal["outside", "living space"] | None = None
    inside: bool = True
    gas_locker: bool = False
    beside: list[Literal["exhaust", "fuel", "gas"]] | None = Field(None, max_length=3)
    sleeping: bool | None = None
    engine_space: bool = False
    picture: Picture | None = None


class Hours(StrictModel):
    """Hours a day, by season."""

    summer_h: HoursPerDay
    winter_h: HoursPerDay


class Use(StrictModel):
    """How the van is used."""

    driven_h: HoursPerDay | None = None
    hook_up_h: HoursPerDay | None = None
    shade_percent: Share | None = None
    latitude_deg: Angle | None = None
    months: list[Annotated[int, Field(ge=1, le=12)]] = Field(default_factory=list, max_length=12)
    nights: Annotated[int, Field(ge=0, le=60)] | None = None


class MainsRecord(StrictModel):
    """Mains equipment as recorded; vandoc never assesses it."""

    where: Ident | None = None
    rcd: Line | None = None
    protective_device: Line | None = None
    neutral_earth_bond: Line | None = None
    polarity: Line | None = None
    inspected: Day | None = None
    inspected_by: Line | None = None
    notes: Text | None = None


class Mains(StrictModel):
    """The two sources of mains voltage."""

    hook_up: MainsRecord | None = None
    inverter_output: MainsRecord | None = None
    changeover: Line | None = None


class Reading(StrictModel):
    """A reading: a measurement on the test sheet, named by `measure`, or any other, described by `what`."""

    measure: Measure | None = None
    what: Line | None = None
    at: Line | None = None
    value: Line
    current_a: PositiveCurrent | None = None
    note: Text | None = None


class Review(StrictModel):
    """A finding to be reviewed that a person or workshop has reviewed and accepted.

    It holds for the values that it accepted, and for nothing else.
    """

    rule: Line
    subject: Line
    accepts: Text
    by: Line
    date: Day
    why: Text
    evidence: Text


class Acknowledged(StrictModel):
    """A failed check that a named person knows of, and what must stay off until it is put right.

    Like a review, it holds for the values that it names alone.
    """

    rule: Line
    subject: Line
    accepts: Text
    by: Line
    date: Day
    keep_off: Line


class Documented(StrictModel):
    """A van that is documented as it was found, not designed: fails and unknown values included."""

    by: Line
    date: Day
    fails: list[Acknowledged] = Field(default_factory=list, max_length=2000)


class Commissioning(StrictModel):
    """Readings taken on one day."""

    date: Day
    by: Line | None = None
    readings: list[Reading] = Field(min_length=1)


class Service(StrictModel):
    """One visit to a workshop."""

    date: Day
    by: Line
    odometer_km: Distance | None = None
    replaced: list[Ident] = Field(default_factory=list)
    done: list[Task] = Field(default_factory=list)
    readings: list[Reading] = Field(default_factory=list)
    notes: Text | None = None
