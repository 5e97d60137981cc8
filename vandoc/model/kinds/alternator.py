"""The vehicle's alternator."""

from typing import Literal

from vandoc.model.base import AlternatorCurrent, Current, Voltage
from vandoc.model.piece import FaultKind, Piece
from vandoc.model.traits import CHASSIS, Fact, Joins, Supplies


class VehicleSource(Piece):
    """What feeds the vehicle's own circuits while it is driven."""

    terminals_of_kind = ("+", "-")
    sparks = True
    rating_a: AlternatorCurrent
    nominal_v: Voltage | None = None
    spare_a: Current | None = None
    short_circuit_a: Current | None = None

    @property
    def lasting_a(self) -> float:
        """What it delivers for hours: its hot output if stated, otherwise its rating. [A]"""
        return self.rating_a

    @property
    def held_v(self) -> float | None:
        """The voltage that it holds, if stated. [V]"""
        return None

    def is_smart(self) -> bool:
        """Return whether the vehicle's computer changes its voltage."""
        return False

    def stops_at_halts(self) -> bool:
        """Return whether it stops at traffic lights while the ignition stays on."""
        return False

    def joins(self) -> tuple[Joins, ...]:
        return (Joins("-", CHASSIS, "case", unless_cabled=True),)

    def supplies(self, nominal_v: float) -> Supplies | None:
        volts = self.nominal_v or nominal_v
        return Supplies(
            "alternator",
            volts,
            self.rating_a,
            charges_from="alternator",
            set_v=self.held_v,
            short_circuit_a=self.short_circuit_a,
        )

    def breaks(self) -> tuple[FaultKind, ...]:
        return ("dead",)

    def facts(self, nominal_v: float) -> tuple[tuple[Fact, ...], ...]:  # noqa: ARG002
        return ((Fact(self.rating_a, "A"),),)

    def of_vehicle(self) -> bool:
        return True

    def optional_terminals(self) -> tuple[str, ...]:
        return self.terminals()


class Alternator(VehicleSource):
    """The vehicle's alternator."""

    listed = 2
    class_letter = "G"
    kind: Literal["alternator"]
    regulation: Literal["fixed", "smart"]
    hot_a: AlternatorCurrent | None = None
    idle_a: Current | None = None
    start_stop: bool | None = None

    @property
    def lasting_a(self) -> float:
        return self.hot_a or self.rating_a

    def is_smart(self) -> bool:
        return self.regulation == "smart"

    def stops_at_halts(self) -> bool:
        return bool(self.start_stop)

    def symbol(self) -> str:
        return "generator"
