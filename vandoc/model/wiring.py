"""Loads, cables and circuits: the short form for a fuse, its cable, loads and return conductor."""

from typing import Annotated, Literal

from pydantic import Field

from vandoc.ground.unknown import UnknownList
from vandoc.model.base import (
    Current,
    FittedArea,
    Ident,
    Insulation,
    Length,
    Line,
    LoadPower,
    Name,
    PositiveCurrent,
    Rating,
    RunLength,
    StartTime,
    StrictModel,
    Terminal,
    Text,
    Torque,
    Unknowable,
    Voltage,
)
from vandoc.model.equipment import Indicator, Likelihoods
from vandoc.model.fitted import Designated, Designation
from vandoc.model.piece import Termination
from vandoc.model.traits import Inrush, Lights, Need
from vandoc.model.van import Day, Hours, Picture

# Colour names and two-letter codes of IEC 60757.
Colour = Literal[
    "black",
    "brown",
    "red",
    "orange",
    "yellow",
    "green",
    "blue",
    "violet",
    "grey",
    "white",
    "pink",
    "turquoise",
]


class Outlet(StrictModel):
    """A socket into which others plug devices: a 12 V socket, or the socket of a trailer."""

    rating_a: PositiveCurrent | None = None
    voltage_v: Voltage | None = None
    standard: Literal["ISO 4165", "ISO 1724", "ISO 3732", "ISO 11446"] | None = None


class Load(Designated):
    """A load: a device that draws current."""

    name: Name
    words: list[Name] = Field(default_factory=list)
    place: Ident
    part: Line | None = None
    current_a: Rating | None = None
    power_w: LoadPower | None = None
    count: Annotated[int, Field(ge=1, le=200)] = 1
    nominal_v: Voltage | None = None
    behaves: Literal["current", "power", "resistance"] = "current"
    start_a: Current | None = None
    start_time_h: StartTime | None = None
    starts_as: Literal["compressor", "glow-plug", "pump", "motor"] | None = None
    continuous: bool = True
    importance: Literal["general", "lighting", "critical"] = "general"
    hours: Hours | None = None
    lowest_v: Voltage | None = None
    cools_down: bool = False
    outlet: Outlet | None = None
    step: bool = False
    drawn_in_by: Ident | None = None
    heats_tank: bool = False
    dry_run_protection: bool | None = None
    needs: list[Need] | None = None
    shows_voltage: bool = False
    kept_live: Line | None = None
    termination: Termination | None = None
    sparks: bool = True
    ignition_protected: bool = False
    indicators: list[Indicator] = Field(default_factory=list)
    likelihood: Likelihoods = Field(default_factory=dict)
    picture: Picture | None = None
    replace_by: Day | None = None
    notes: Text | None = None

    def terminals(self) -> tuple[str, ...]:
        """Return its terminal names."""
        return ("+", "-")

    def inrush(self) -> Inrush | None:
        """Return what it draws while it starts; None if that is not known to be more than at work."""
        if self.start_a is None and self.starts_as is None:
            return None
        amps = None if self.start_a is None else self.start_a * self.count
        return Inrush(self.starts_as, amps_a=amps, time_h=self.start_time_h)

    def needed(self) -> tuple[Need, ...] | None:
        """Return what it needs besides current, stated or by its kind; None if that is not known."""
        if self.needs is not None:
            return tuple(self.needs)
        if self.importance == "lighting" or self.shows_voltage:
            return ()
        usual: dict[str | None, tuple[Need, ...]] = {
            "pump": ("water",),
            "glow-plug": ("fuel",),
            "compressor": (),
        }
        return usual.get(self.starts_as)

    def runs_slowly(self) -> bool:
        """Return whether it has a motor that slows down with its voltage."""
        return self.starts_as in ("pump", "motor") and self.behaves != "power"

    def least_v(self) -> float | None:
        """Return its minimum operating voltage, if stated. [V]"""
        return self.lowest_v

    def lights(self) -> Lights | None:
        """Return when its lights show something, and what they follow."""
        return Lights("use", "voltage")


class Run(StrictModel):
    """A cable run."""

    area_mm2: FittedArea | None = None
    calculated: bool = False
    length_m: RunLength
    insulation_c: Insulation | None = None
    bunched: Annotated[int, Field(ge=1, le=20)] | None = None
    through: Annotated[list[Ident], Unknowable(UnknownList())] = Field(default_factory=list)
    sheathed: bool = False
    conduit: bool | None = None
    buried_m: Length | None = None
    metal: Literal["grommet", "bare"] | None = None
    colour: Colour | None = None


class Cable(Run):
    """A cable from one terminal to another."""

    id: Ident | None = None
    start: Terminal = Field(alias="from")
    end: Terminal = Field(alias="to")
    designation: Designation | None = None
    torque_nm: Torque | None = None
    vehicle: bool = False
    signal: bool = False


class FusePosition(StrictModel):
    """A position on a fuse board, and the fuse in it."""

    board: Ident
    position: Annotated[int, Field(ge=1, le=1600)]
    rating_a: Rating | None = None
    calculated: bool = False


class Return(StrictModel):
    """The return conductor, if it differs from the supply."""

    to: Terminal
    area_mm2: FittedArea | None = None
    calculated: bool = False
    length_m: RunLength | None = None


class SegmentReturn(StrictModel):
    """The return conductor from the load at the end of a segment, if it differs from the supply."""

    area_mm2: FittedArea | None = None
    calculated: bool = False
    length_m: RunLength | None = None


class Segment(Run):
    """A length of cable in a circuit, up to the switch, connector or load that it names."""

    to: Ident | None = None
    start: Ident | None = Field(None, alias="from")
    return_: SegmentReturn | None = Field(None, alias="return")


class Circuit(StrictModel):
    """A final circuit: fuse, cable or segments of cable, one or more loads, and return conductor."""

    id: Ident
    name: Name | None = None
    designation: Designation | None = None
    fuse: FusePosition
    cable: Run | Annotated[list[Segment], Field(min_length=1, max_length=40)]
    load: Ident | Annotated[list[Ident], Field(min_length=1)]
    switch: Ident | None = None
    return_: Terminal | Return = Field(alias="return")

    @property
    def loads(self) -> tuple[str, ...]:
        """The loads it feeds."""
        return (self.load,) if isinstance(self.load, str) else tuple(self.load)


class CableDefaults(StrictModel):
    """Properties of cables that do not state their own."""

    insulation_c: Insulation = 70.0
    bunched: Annotated[int, Field(ge=1, le=20)] = 1
    buried_m: Length | None = None
