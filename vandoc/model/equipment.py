"""Equipment, one class for each kind, with the terminals to which cables can be connected."""

from collections.abc import Iterator
from typing import Annotated, ClassVar, Literal, Self

from pydantic import Field, PrivateAttr

from vandoc.model.base import (
    AlternatorCurrent,
    Angle,
    Capacity,
    Coefficient,
    Current,
    Fraction,
    Ident,
    Line,
    Name,
    PositiveCurrent,
    PositivePower,
    ProposedNumber,
    Resistance,
    StrictModel,
    Text,
    Torque,
    Voltage,
)
from vandoc.model.van import Day, Hours, Picture

Chemistry = Literal["flooded", "AGM", "gel", "LiFePO4"]
Stud = Literal["M4", "M5", "M6", "M8", "M10", "M12"]
FuseFamily = Literal["C", "E", "F", "SF30", "SF51", "single-bolt", "class-T", "ANL"]
FaultKind = Literal[
    "left-off",
    "left-on",
    "joint-poor",
    "contact-poor",
    "earth-bad",
    "fuse-blown",
    "cable-open",
    "stuck-open",
    "stuck-closed",
    "flat",
    "cell-gone",
    "dead",
    "shorted",
    "not-feeding",
    "ignition-lost",
]
Condition = Literal["powered", "charging", "full", "no input", "low voltage"]
Likelihoods = dict[FaultKind, Annotated[float, Field(gt=0, le=1000, strict=False)]]


class Indicator(StrictModel):
    """A light or display message, and its meaning in the workshop's own words."""

    where: Line = Field(description="position of the light on the device")
    colour: Literal["red", "green", "amber", "yellow", "blue", "white", "none"]
    pattern: Literal["steady", "slow", "quick", "off", "display"]
    shows: Line | None = Field(None, description="text on the display")
    meaning: Text
    when: Condition | None = Field(
        None, description="operating condition that it indicates, for fault-finding"
    )
    do: Text = Field(description="action for the owner")
    urgency: Literal["now", "soon", "none"] = "none"


class Piece(StrictModel):
    """Common properties of all equipment."""

    terminals_of_kind: ClassVar[tuple[str, ...]] = ()
    sparks: ClassVar[bool] = False

    name: Name = Field(description="the owner's name for it")
    place: Ident
    part: Line | None = Field(None, description="path of a part sheet with defaults, relative to this file")
    torque_nm: Torque | None = Field(
        None, description="tightening torque of its stud terminals, from the manufacturer"
    )
    stud: Stud | None = Field(None, description="thread of its stud terminals; determines the lugs")
    ignition_protected: bool = Field(
        False, description="rated by its manufacturer as safe where gas may collect"
    )
    indicators: list[Indicator] = Field(default_factory=list)
    likelihood: Likelihoods = Field(
        default_factory=dict, description="relative frequency of its faults, if unusual"
    )
    picture: Picture | None = None
    installed: Day | None = None
    replace_by: Day | None = Field(None, description="expiry date marked on it")
    notes: Text | None = None

    def terminals(self) -> tuple[str, ...]:
        """Return its terminal names; an empty name if the item is itself a single terminal."""
        return self.terminals_of_kind


class Sizable(Piece):
    """Equipment whose size may be left open in the file; completing the system adds the proposal."""

    _proposed: ProposedNumber | None = PrivateAttr(None)

    @property
    def proposed(self) -> ProposedNumber | None:
        """Proposed size, if the file leaves it open."""
        return self._proposed

    def with_proposed(self, proposed: ProposedNumber) -> Self:
        """Return a copy with this size."""
        piece = self.model_copy()
        piece._proposed = proposed
        return piece

    def _known(self, stated: float | None) -> float:
        if stated is not None:
            return stated
        if self._proposed is None:
            raise LookupError(f"the size of {self.name!r} is open, and nothing was proposed for it")
        return self._proposed.value


class Battery(Sizable):
    """A battery; a bank in parallel is entered as several, blocks in series as one."""

    terminals_of_kind = ("+", "-", "sensor")
    sparks = True
    kind: Literal["battery"]
    role: Literal["leisure", "starter"] = "leisure"
    chemistry: Chemistry
    stated_ah: Capacity | None = Field(
        None, alias="capacity", description="20 h capacity; proposed for a leisure battery if omitted"
    )
    nominal_v: Voltage | None = Field(None, description="default: the van's nominal voltage")
    series: Annotated[int, Field(ge=1, le=24)] = Field(1, description="blocks in series")
    resistance_ohm: Resistance | None = Field(None, description="internal resistance; default by chemistry")
    cranking_a: PositiveCurrent | None = None
    sensor: bool = Field(False, description="battery sensor on the negative terminal")
    charge_limit_a: PositiveCurrent | None = Field(None, description="maximum charging current")
    discharge_limit_a: PositiveCurrent | None = Field(
        None, description="maximum continuous discharge current"
    )
    low_temperature_lockout: bool | None = Field(None, description="low-temperature charging cut-off")
    heated: bool = False

    @property
    def capacity_ah(self) -> float:
        """20 h rating, stated or proposed. [Ah]"""
        return self._known(self.stated_ah)

    def terminals(self) -> tuple[str, ...]:
        return ("+", "-", "sensor") if self.sensor else ("+", "-")


class Alternator(Piece):
    """The vehicle's alternator."""

    terminals_of_kind = ("+", "-")
    sparks = True
    kind: Literal["alternator"]
    rating_a: AlternatorCurrent
    regulation: Literal["fixed", "smart"] = Field(
        description="smart: the vehicle's computer sets the voltage"
    )
    nominal_v: Voltage | None = None
    spare_a: Current | None = Field(None, description="current available for charging the leisure batteries")


class Profile(StrictModel):
    """Charging profile of a charger."""

    absorption_v: Voltage
    float_v: Voltage | None = None
    temperature_sensor: bool | None = None
    low_temperature_lockout: bool | None = None


class Charger(Sizable):
    """A charger supplied by the alternator, solar panels or mains; its output current is limited."""

    sparks = True
    kind: Literal["charger"]
    source: Literal["alternator", "solar", "mains"]
    stated_a: PositiveCurrent | None = Field(None, alias="output", description="proposed if omitted")
    output_v: Voltage | None = Field(
        None, alias="output_voltage", description="nominal; default: the van's nominal voltage"
    )
    input_v: Voltage | None = Field(
        None, alias="input_voltage", description="nominal; default: the van's nominal voltage"
    )
    profile: Profile | None = None
    efficiency_percent: Fraction | None = None
    own_voltage: bool = Field(True, description="regulates its own output voltage")
    ignition_feed: bool | None = Field(
        None, description="connected to an ignition feed, live only while the engine runs"
    )
    max_voc_v: Voltage | None = Field(None, description="solar: maximum open-circuit voltage (Voc)")
    max_isc_a: PositiveCurrent | None = Field(None, description="solar: maximum short-circuit current (Isc)")
    array_low_w: PositivePower | None = None
    array_high_w: PositivePower | None = None

    @property
    def output_a(self) -> float:
        """Maximum output current, stated or proposed. [A]"""
        return self._known(self.stated_a)

    def terminals(self) -> tuple[str, ...]:
        first = {"alternator": ("in",), "solar": ("pv+", "pv-"), "mains": ()}[self.source]
        signal = ("ignition",) if self.source == "alternator" else ()
        return (*first, "out", "-", *signal)


class Converter(Piece):
    """A DC-DC converter, such as 24 V to 12 V; its output current is limited."""

    terminals_of_kind = ("in", "out", "-")
    sparks = True
    kind: Literal["converter"]
    input_v: Voltage = Field(alias="input_voltage")
    output_v: Voltage = Field(alias="output_voltage")
    output_a: PositiveCurrent
    efficiency_percent: Fraction | None = None


class SolarArray(Piece):
    """Solar panels connected in series, in parallel or both."""

    terminals_of_kind = ("+", "-")
    kind: Literal["solar-array"]
    power_w: PositivePower = Field(description="rated power of one panel")
    voc_v: Voltage = Field(description="open-circuit voltage of one panel at 25 °C")
    isc_a: PositiveCurrent = Field(description="short-circuit current of one panel")
    vmp_v: Voltage | None = Field(None, description="voltage at maximum power of one panel")
    voc_coefficient_percent_per_k: Coefficient = Field(-0.30, alias="voc_coefficient")
    series: Annotated[int, Field(ge=1, le=20)] = 1
    parallel: Annotated[int, Field(ge=1, le=20)] = 1
    tilt_deg: Angle = 0.0


class Relay(Piece):
    """The contact of a relay; `split-charge` connects the leisure battery to the starter battery."""

    terminals_of_kind = ("a", "b")
    sparks = True
    kind: Literal["relay"]
    purpose: Literal["split-charge", "load"]
    rating_a: PositiveCurrent
    control: Line | None = Field(None, description="what energises the relay coil")


class Inverter(Piece):
    """An inverter, which makes mains voltage from the battery."""

    terminals_of_kind = ("+", "-")
    sparks = True
    kind: Literal["inverter"]
    power_w: PositivePower = Field(description="continuous output")
    surge_w: PositivePower | None = None
    efficiency_percent: Fraction | None = None
    nominal_v: Voltage | None = None
    lowest_v: Voltage | None = Field(None, description="minimum operating voltage")
    hours: Hours | None = Field(None, description="equivalent hours a day at its continuous power")


class Isolator(Piece):
    """A battery isolator, which disconnects a battery from everything."""

    terminals_of_kind = ("in", "out")
    sparks = True
    kind: Literal["isolator"]
    rating_a: PositiveCurrent


class Switch(Piece):
    """A switch in a circuit."""

    terminals_of_kind = ("in", "out")
    sparks = True
    kind: Literal["switch"]
    rating_a: PositiveCurrent


class Busbar(Piece):
    """A bar that connects several cables."""

    terminals_of_kind = ("",)
    kind: Literal["busbar"]
    rating_a: PositiveCurrent


class BoardFuse(StrictModel):
    """A fuse on a board that feeds a cable, not a circuit."""

    rating_a: PositiveCurrent | None = Field(None, description="proposed if omitted")


class FuseBoard(Piece):
    """A fuse board with one feed; positions are numbered along the rows from the top left."""

    sparks = True
    kind: Literal["fuse-board"]
    family: FuseFamily
    rows: Annotated[int, Field(ge=1, le=40)]
    columns: Annotated[int, Field(ge=1, le=40)]
    rating_a: PositiveCurrent | None = Field(None, description="rated current of the whole board")
    fuses: dict[str, BoardFuse] = Field(
        default_factory=dict, description="fuses that feed cables, by position"
    )

    def terminals(self) -> tuple[str, ...]:
        return ("in", *(str(n) for n in range(1, self.rows * self.columns + 1)))


class Fuse(Piece):
    """A fuse in its own holder."""

    terminals_of_kind = ("in", "out")
    sparks = True
    kind: Literal["fuse"]
    family: FuseFamily
    rating_a: PositiveCurrent | None = Field(None, description="proposed if omitted")
    voltage_v: Voltage | None = Field(None, description="rated voltage printed on it")
    breaking_a: PositiveCurrent | None = Field(None, description="breaking capacity, manufacturer's figure")


class EarthPoint(Piece):
    """A chassis earth point: a bolted joint to the vehicle's metal."""

    terminals_of_kind = ("",)
    kind: Literal["earth-point"]
    clean: bool | None = Field(None, description="bare metal, with its own bolt and corrosion protection")


class Shunt(Piece):
    """A measuring shunt in the negative cable, or a battery monitor's current sensor."""

    terminals_of_kind = ("battery", "system")
    kind: Literal["shunt"]
    rating_a: PositiveCurrent
    drop_v: Voltage = Field(0.05, description="voltage drop at rated current; default: 50 mV")


class Monitor(Piece):
    """A battery monitor: a display that shows the state of charge."""

    terminals_of_kind = ("+", "-")
    kind: Literal["monitor"]
    shunt: Ident | None = None
    current_a: Current = 0.01


AnyPiece = (
    Battery
    | Alternator
    | Charger
    | Converter
    | SolarArray
    | Relay
    | Inverter
    | Isolator
    | Switch
    | Busbar
    | FuseBoard
    | Fuse
    | EarthPoint
    | Shunt
    | Monitor
)
Equipment = Annotated[AnyPiece, Field(discriminator="kind")]


def full_terminals(ident: str, piece: Piece) -> Iterator[str]:
    """Yield the terminals as cables name them: `house.+`, or only the item's name for a single terminal."""
    for terminal in piece.terminals():
        yield f"{ident}.{terminal}" if terminal else ident
