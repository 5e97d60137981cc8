"""A battery."""

from typing import Annotated, Any, Literal, Self

from pydantic import BeforeValidator, Field, model_validator
from pydantic_core import PydanticCustomError

from vandoc.ground import chemistry as chemistries
from vandoc.ground.messages import Messages
from vandoc.ground.unknown import UNKNOWN_TEXT
from vandoc.model.base import (
    Capacity,
    Compensation,
    Force,
    Line,
    Mass,
    PositiveCurrent,
    Resistance,
    Unknowable,
    Voltage,
)
from vandoc.model.piece import FaultKind, Sizable
from vandoc.model.traits import CutsOff, Fact, Joins, Lights, Supplies

say = Messages("vandoc.model", "faults").say


def _is_known(key: object) -> str:
    known = chemistries.known()
    if isinstance(key, str) and key in known:
        return key
    *most, last = (f"'{name}'" for name in known)
    raise PydanticCustomError(
        "literal_error", "", {"expected": say("battery.or", most=", ".join(most), last=last)}
    )


class _KnownKeys:
    """Field metadata: editors offer the chemistries that are known when the schema is printed."""

    def __get_pydantic_json_schema__(self, core: Any, handler: Any) -> dict[str, Any]:
        return {**handler(core), "enum": list(chemistries.known())}


ChemistryKey = Annotated[str, BeforeValidator(_is_known), _KnownKeys(), Unknowable(UNKNOWN_TEXT)]


class Battery(Sizable):
    """A battery; a bank in parallel is entered as several, blocks in series as one."""

    terminals_of_kind = ("+", "-", "sensor")
    sparks = True
    listed = 1
    label_of_kind = "battery"
    class_letter = "C"
    kind: Literal["battery"]
    role: Literal["leisure", "starter"] = "leisure"
    chemistry: ChemistryKey
    stated_ah: Capacity | None = Field(None, alias="capacity")
    calculated: bool = False
    nominal_v: Voltage | None = None
    series: Annotated[int, Field(ge=1, le=24)] = 1
    cells: Annotated[int, Field(ge=1, le=400)] | None = None
    make: Line | None = None
    resistance_ohm: Resistance | None = None
    short_circuit_a: PositiveCurrent | None = None
    cranking_a: PositiveCurrent | None = None
    sensor: bool = False
    charge_limit_a: PositiveCurrent | None = None
    discharge_limit_a: PositiveCurrent | None = None
    over_current_a: PositiveCurrent | None = None
    over_voltage_v: Voltage | None = None
    low_temperature_lockout: bool | None = None
    high_temperature_lockout: bool | None = None
    heated: bool = False
    cut_off_v: Voltage | None = None
    compensation_mv_per_k: Compensation | None = Field(None, alias="compensation")
    absorption_low_v: Voltage | None = None
    absorption_high_v: Voltage | None = None
    weight_kg: Mass | None = None
    pull_tested_n: Force | None = Field(None, alias="pull_tested")
    fixing: Literal["bolted", "clamped", "strapped", "loose"] | None = None
    covered: bool | None = None

    @model_validator(mode="after")
    def _no_size_without_sizes(self) -> Self:
        if self.stated_ah is None and not self.traits.sizes_ah:
            raise ValueError(say("battery.sizes_not_known", chemistry=self.chemistry))
        return self

    @property
    def traits(self) -> chemistries.Chemistry:
        """What is known of its chemistry."""
        return chemistries.chemistry_of(self.chemistry)

    def absorption_range(self, nominal_v: float) -> chemistries.Range | None:
        """Return the voltages at which it is charged: its manufacturer's, or its chemistry's. [V]"""
        if self.absorption_low_v is not None and self.absorption_high_v is not None:
            low, high = sorted((self.absorption_low_v, self.absorption_high_v))
            return chemistries.Range(low, high, say("battery.stated"), from_memory=False)
        return self.traits.scaled(self.traits.absorption_v, self.nominal_v or nominal_v, self.cells)

    def compensation_range(self, nominal_v: float) -> chemistries.Range | None:
        """Return the change of its charging voltage for each kelvin, stated or of its chemistry. [mV/K]"""
        stated, figure = self.compensation_mv_per_k, self.traits.compensation_mv_per_cell_k
        if stated is not None:
            return chemistries.Range(stated, stated, say("battery.stated"), from_memory=False)
        count = self.traits.cells_for(self.nominal_v or nominal_v, self.cells)
        if figure is None or count is None:
            return None
        low, high = figure.low * count[1], figure.high * count[0]
        return chemistries.Range(low, high, figure.source, figure.from_memory)

    @property
    def capacity_ah(self) -> float:
        """20 h rating, stated or proposed. [Ah]"""
        return self._known(self.stated_ah)

    def is_open(self) -> bool:
        return self.stated_ah is None

    def usual_sizes(self) -> tuple[float, ...]:
        return tuple(sorted(self.traits.sizes_ah))

    def label_facts(self) -> tuple[str, ...]:
        return self.chemistry, f"{self.capacity_ah:g}"

    def terminals(self) -> tuple[str, ...]:
        return ("+", "-", "sensor") if self.sensor else ("+", "-")

    def joins(self) -> tuple[Joins, ...]:
        return (Joins("-", "sensor", "sensor"),) if self.sensor else ()

    def supplies(self, nominal_v: float) -> Supplies | None:
        return Supplies("battery", self.nominal_v or nominal_v, None)

    def breaks(self) -> tuple[FaultKind, ...]:
        return ("flat", "cell-gone") if self.role == "leisure" else ()

    def lights(self) -> Lights | None:
        return Lights("use", "battery")

    def number(self) -> int:
        return self.series

    def facts(self, nominal_v: float) -> tuple[tuple[Fact, ...], ...]:
        capacity = Fact(self.capacity_ah, "Ah", proposed=self.proposed is not None)
        return (Fact(text=self.traits.names.electrician),), (Fact(self.nominal_v or nominal_v, "V"), capacity)

    def cuts_off(self) -> CutsOff | None:
        return None if self.traits.management is False else CutsOff(self.cut_off_v, "battery")

    def of_vehicle(self) -> bool:
        return self.role == "starter"

    def optional_terminals(self) -> tuple[str, ...]:
        return ("-",) if self.sensor else ()
