"""One measurement of the sheet, what was read, and how the two compare."""

from dataclasses import dataclass, replace
from datetime import date
from typing import Literal

from vandoc.model.records import MEASURES, amount, kind_of
from vandoc.model.references import Path as Trail
from vandoc.model.system import System

Phase = Literal["before power", "power-up", "under load", "charging"]
PHASES: tuple[Phase, ...] = ("before power", "power-up", "under load", "charging")
Verdict = Literal["good", "low", "high", "unmeasured"]
ROUNDING = 1 + 1e-9


@dataclass(frozen=True)
class Measurement:
    """One measurement.

    Attributes
    ----------
    id : str
        Its name in the van file, the same for as long as what it is of keeps its name there.
    phase : str
        When it is taken.
    places : tuple of str
        Where the probes go: the terminals, or the piece.
    expected : float or None
        Reckoned for this van; None where only a limit can be said.
    low, high : float or None
        What still passes.
    amps_a : float or None
        For a drop: the current at which `expected` and `high` hold. [A]
    running : str
        For what runs meanwhile: a load, charger or state; empty where nothing does.
    sources : tuple of str
        Where the limits come from.

    Numbers are in the unit of the kind of quantity, see `units.KINDS`.
    """

    id: str
    phase: Phase
    places: tuple[str, ...]
    expected: float | None
    low: float | None
    high: float | None
    sources: tuple[str, ...]
    amps_a: float | None = None
    running: str = ""

    @property
    def kind(self) -> str:
        """What is measured; a key of `MEASURES`."""
        return kind_of(self.id)

    @property
    def quantity(self) -> str:
        """A key of `units.KINDS`."""
        return MEASURES[self.kind]

    def at(self, amps_a: float | None) -> "Measurement":
        """Return it for the current that flowed: drops of resistances grow with it."""
        if self.amps_a is None or amps_a is None:
            return self
        part = amps_a / self.amps_a

        def scaled(value: float | None) -> float | None:
            return None if value is None else value * part

        return replace(
            self,
            expected=scaled(self.expected),
            low=scaled(self.low),
            high=scaled(self.high),
            amps_a=amps_a,
        )


@dataclass(frozen=True)
class RecordedReading:
    """What was read for a measurement; `trail` is where it stands in the van file."""

    value: float
    current_a: float | None
    date: date
    trail: Trail
    written: str


def taken(system: System) -> dict[str, list[RecordedReading]]:
    """Return all readings that name their measurement, by it, the oldest first."""
    found: dict[str, list[RecordedReading]] = {}
    for section in ("commissioning", "services"):
        for index, visit in enumerate(getattr(system, section)):
            for number, reading in enumerate(visit.readings):
                if reading.measure is not None:
                    trail: Trail = (section, index, "readings", number)
                    one = RecordedReading(
                        amount(reading), reading.current_a, visit.date, trail, reading.value
                    )
                    found.setdefault(reading.measure, []).append(one)
    for readings in found.values():
        readings.sort(key=lambda one: one.date)  # stable: of one day the later written counts
    return found


def judge(measurement: Measurement, reading: RecordedReading | None) -> Verdict:
    """Return how a reading compares with what is expected at its current.

    Examples
    --------
    >>> drop = Measurement("drop.pump", "under load", (), 0.2, None, 0.3, (), 4.0)
    >>> judge(drop, RecordedReading(0.5, 8.0, date(2026, 3, 14), (), "0.5 V"))
    'good'
    >>> judge(drop, None)
    'unmeasured'
    """
    if reading is None:
        return "unmeasured"
    wanted = measurement.at(reading.current_a)
    if wanted.low is not None and reading.value * ROUNDING < wanted.low:
        return "low"
    if wanted.high is not None and reading.value > wanted.high * ROUNDING:
        return "high"
    return "good"
