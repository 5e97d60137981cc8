"""A charger and its profile."""

from dataclasses import dataclass
from typing import Literal

from pydantic import Field

from vandoc.ground.data import rows
from vandoc.model.base import Compensation, Fraction, PositiveCurrent, PositivePower, StrictModel, Voltage
from vandoc.model.piece import FaultKind, Sizable
from vandoc.model.traits import Draws, Fact, Lights, Supplies


@dataclass(frozen=True)
class _Output:
    output_a: float


def charger_outputs() -> tuple[float, ...]:
    """Return the usual charger outputs, ascending. [A]"""
    return tuple(sorted(row.output_a for row in rows("charger_outputs", _Output)))


class Profile(StrictModel):
    """Charging profile of a charger."""

    absorption_v: Voltage
    float_v: Voltage | None = None
    equalise_v: Voltage | None = None
    temperature_sensor: bool | None = None
    compensation_mv_per_k: Compensation | None = Field(None, alias="compensation")
    low_temperature_lockout: bool | None = None


class Charger(Sizable):
    """A charger supplied by the alternator, solar panels or mains; its output current is limited."""

    sparks = True
    listed = 3
    class_letter = "T"
    kind: Literal["charger"]
    source: Literal["alternator", "solar", "mains"]
    stated_a: PositiveCurrent | None = Field(None, alias="output")
    calculated: bool = False
    output_v: Voltage | None = Field(None, alias="output_voltage")
    input_v: Voltage | None = Field(None, alias="input_voltage")
    profile: Profile | None = None
    efficiency_percent: Fraction | None = None
    own_voltage: bool = True
    ignition_feed: bool | None = None
    lowest_input_v: Voltage | None = None
    short_circuit_a: PositiveCurrent | None = None
    may_lose_battery: bool | None = None
    max_voc_v: Voltage | None = None
    max_isc_a: PositiveCurrent | None = None
    common: Literal["negative", "positive", "isolated"] | None = None
    array_low_w: PositivePower | None = None
    array_high_w: PositivePower | None = None

    @property
    def output_a(self) -> float:
        """Maximum output current, stated or proposed. [A]"""
        return self._known(self.stated_a)

    def is_open(self) -> bool:
        return self.stated_a is None

    def usual_sizes(self) -> tuple[float, ...]:
        return charger_outputs()

    def converts_w(self, nominal_v: float) -> float | None:
        return (self.output_v or nominal_v) * self.output_a

    def common_pole(self) -> Literal["negative", "positive", "isolated"] | None:
        return self.common

    def mains(self) -> Literal["hook_up", "inverter_output"] | None:
        return "hook_up" if self.source == "mains" else None

    def terminals(self) -> tuple[str, ...]:
        first = {"alternator": ("in",), "solar": ("pv+", "pv-"), "mains": ()}[self.source]
        signal = ("ignition",) if self.source == "alternator" else ()
        return (*first, "out", "-", *signal)

    def supplies(self, nominal_v: float) -> Supplies | None:
        return Supplies(
            "charger",
            self.output_v or nominal_v,
            self.output_a,
            plus="out",
            charges_from=self.source,
            set_v=self.profile.absorption_v if self.profile else None,
            inlet={"alternator": "in", "solar": "pv+", "mains": None}[self.source],
            waits_for_engine=self.source == "alternator" and bool(self.ignition_feed),
            short_circuit_a=self.short_circuit_a,
        )

    def draws(self, nominal_v: float) -> Draws | None:
        match self.source:
            case "alternator":
                output_w = (self.output_v or nominal_v) * self.output_a
                return Draws("charger", self.input_v or nominal_v, output_w=output_w, plus="in")
            case "solar":
                return Draws("charger", nominal_v, plus="pv+", minus="pv-", from_panels=True)
            case "mains":
                return None

    def breaks(self) -> tuple[FaultKind, ...]:
        return ("dead", "ignition-lost") if self.ignition_feed else ("dead",)

    def lights(self) -> Lights | None:
        return Lights(self.source, "charging")

    def symbol(self) -> str:
        return "ac-dc" if self.source == "mains" else "dc-dc"

    def facts(self, nominal_v: float) -> tuple[tuple[Fact, ...], ...]:  # noqa: ARG002
        output = (Fact(self.output_v, "V"), Fact(self.output_a, "A", proposed=self.proposed is not None))
        return (output, (Fact(word="from_mains"),)) if self.source == "mains" else (output,)

    def optional_terminals(self) -> tuple[str, ...]:
        return ("ignition",)
