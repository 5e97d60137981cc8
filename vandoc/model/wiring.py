"""Loads, cables and circuits: the short form for a fuse, its cable, loads and return conductor."""

from typing import Annotated, Literal

from pydantic import Field

from vandoc.model.base import (
    Area,
    Current,
    Ident,
    Length,
    Line,
    Name,
    PositiveCurrent,
    PositivePower,
    StartTime,
    StrictModel,
    Temperature,
    Terminal,
    Text,
    Torque,
    Voltage,
)
from vandoc.model.equipment import Indicator, Likelihoods
from vandoc.model.traits import Inrush, Lights
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


class Load(StrictModel):
    """A load: a device that draws current."""

    name: Name = Field(description="the owner's name for it, such as 'water pump'")
    words: list[Name] = Field(
        default_factory=list, description="other names an owner may search for, such as 'tap'"
    )
    place: Ident
    part: Line | None = Field(None, description="path of a part sheet with defaults, relative to this file")
    current_a: PositiveCurrent | None = None
    power_w: PositivePower | None = None
    count: Annotated[int, Field(ge=1, le=200)] = Field(
        1, description="number of identical devices, such as lamps"
    )
    nominal_v: Voltage | None = None
    behaves: Literal["current", "power", "resistance"] = Field(
        "current", description="what stays constant when the voltage falls"
    )
    start_a: Current | None = Field(None, description="starting (inrush) current")
    start_time_h: StartTime | None = Field(None, description="time for which the starting current flows")
    starts_as: Literal["compressor", "glow-plug", "pump", "motor"] | None = Field(
        None, description="how it starts, to use the usual current and time where they are not stated"
    )
    continuous: bool = Field(True, description="false if it never runs for more than a few minutes")
    importance: Literal["general", "lighting", "critical"] = Field(
        "general", description="determines the permitted voltage drop"
    )
    hours: Hours | None = None
    lowest_v: Voltage | None = Field(None, description="minimum operating voltage")
    cools_down: bool = Field(False, description="must stay powered after use to cool down")
    kept_live: Line | None = Field(
        None, description="why it stays live on purpose when the battery isolators are off"
    )
    sparks: bool = True
    ignition_protected: bool = False
    indicators: list[Indicator] = Field(default_factory=list)
    likelihood: Likelihoods = Field(
        default_factory=dict, description="relative frequency of its faults, if unusual"
    )
    picture: Picture | None = None
    replace_by: Day | None = Field(None, description="expiry date marked on it")
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

    def least_v(self) -> float | None:
        """Return its minimum operating voltage, if stated. [V]"""
        return self.lowest_v

    def lights(self) -> Lights | None:
        """Return when its lights show something, and what they follow."""
        return Lights("use", "voltage")


class Run(StrictModel):
    """A cable run."""

    area_mm2: Area | None = Field(None, description="proposed if omitted")
    calculated: bool = Field(False, description="true if vandoc calculated its size")
    length_m: Length
    insulation_c: Temperature | None = Field(
        None, description="insulation temperature rating; default: as in 'cable_defaults'"
    )
    bunched: Annotated[int, Field(ge=1, le=20)] | None = Field(
        None, description="number of circuits grouped together, including this one"
    )
    through: list[Ident] = Field(default_factory=list, description="locations it passes through")
    sheathed: bool = Field(False, description="sheathed or in conduit over its whole length")
    conduit: bool | None = Field(
        None, description="in conduit or trunking, which lowers its capacity; default: as 'sheathed'"
    )
    buried_m: Length | None = Field(
        None,
        description="longest length that thermal insulation surrounds; default: as in 'cable_defaults'",
    )
    metal: Literal["grommet", "bare"] | None = Field(
        None, description="how it passes through metal, if at all"
    )
    colour: Colour | None = Field(
        None, description="insulation colour of the supply; default: red for positive, black for negative"
    )


class Cable(Run):
    """A cable from one terminal to another."""

    id: Ident | None = None
    start: Terminal = Field(alias="from")
    end: Terminal = Field(alias="to")
    torque_nm: Torque | None = Field(
        None, description="tightening torque at its lugs, if the items do not state it"
    )
    vehicle: bool = Field(False, description="the vehicle manufacturer's own cable: recorded, not checked")
    signal: bool = Field(False, description="carries a signal only")


class FusePosition(StrictModel):
    """A position on a fuse board, and the fuse in it."""

    board: Ident
    position: Annotated[int, Field(ge=1, le=1600)]
    rating_a: PositiveCurrent | None = Field(None, description="proposed if omitted")
    calculated: bool = Field(False, description="true if vandoc calculated its size")


class Return(StrictModel):
    """The return conductor, if it differs from the supply."""

    to: Terminal
    area_mm2: Area | None = Field(None, description="default: same as the supply")
    calculated: bool = Field(False, description="true if vandoc calculated its size")
    length_m: Length | None = Field(None, description="default: same as the supply")


class Circuit(StrictModel):
    """A final circuit: fuse, cable, switch if any, one or more loads, and return conductor."""

    id: Ident
    name: Name | None = None
    fuse: FusePosition
    cable: Run
    load: Ident | Annotated[list[Ident], Field(min_length=1)] = Field(
        description="one load, or several at the end of the same cable"
    )
    switch: Ident | None = None
    return_: Terminal | Return = Field(alias="return")

    @property
    def loads(self) -> tuple[str, ...]:
        """The loads it feeds."""
        return (self.load,) if isinstance(self.load, str) else tuple(self.load)


class CableDefaults(StrictModel):
    """Properties of cables that do not state their own."""

    insulation_c: Temperature = 70.0
    bunched: Annotated[int, Field(ge=1, le=20)] = 1
    buried_m: Length | None = Field(
        None, description="longest length that thermal insulation surrounds; 0 mm if none"
    )
