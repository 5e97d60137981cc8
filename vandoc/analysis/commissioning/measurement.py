"""Measurements of the test sheet, recorded readings, and the result of comparing the two."""

from dataclasses import dataclass, replace
from datetime import date
from typing import Literal

from vandoc.ground.unknown import cannot_tell
from vandoc.model.records import MEASURES, amount, kind_of
from vandoc.model.references import Path as Trail
from vandoc.model.system import CompletedSystem

Phase = Literal["before power", "power-up", "under load", "charging"]
PHASES: tuple[Phase, ...] = ("before power", "power-up", "under load", "charging")
Verdict = Literal["good", "low", "high", "unmeasured"]
ROUNDING = 1 + 1e-9


@dataclass(frozen=True)
class Measurement:
    """One measurement of the test sheet; numbers are in the unit of `units.KINDS`.

    Attributes
    ----------
    id : str
        Its identifier in the van file; it changes only if that of the item changes.
    phase : str
        When it is taken.
    places : tuple of str
        Where the probes are placed: the terminals, or the item.
    expected : float or None
        Calculated for this van; None if only a limit is known.
    low, high : float or None
        The limits of the acceptable range; None on a side without a limit.
    amps_a : float or None
        For a voltage drop: the current at which `expected` and `high` apply. [A]
    running : str
        What is on during the measurement: a load, charger or state; empty if nothing is.
    sources : tuple of str
        The sources of the limits.
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

    @property
    def is_known(self) -> bool:
        """Whether its figures do not depend on what is unknown about the van."""
        figures = (self.expected, self.low, self.high, self.amps_a)
        return not any(figure is not None and cannot_tell(figure) for figure in figures)

    def at(self, amps_a: float | None) -> "Measurement":
        """Return the measurement scaled to the current that flowed, since a drop is proportional to it."""
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
    """A reading of a measurement; `trail` is its path in the van file, `written` its text there."""

    value: float
    current_a: float | None
    date: date
    trail: Trail
    written: str


def cited(*figures: object) -> tuple[str, ...]:
    """Return the sources of figures, each once; of what was recalled it says so."""
    texts = []
    for figure in figures:
        source = str(getattr(figure, "source", ""))
        memory = getattr(figure, "from_memory", False) and "no source" not in source
        texts.append(f"{source}, from memory" if memory else source)
    return tuple(dict.fromkeys(texts))


def taken(system: CompletedSystem) -> dict[str, list[RecordedReading]]:
    """Return the readings of each measurement by its identifier, oldest first."""
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
        readings.sort(key=lambda one: one.date)  # stable: the later entry of one day stays the later one
    return found


def judge(measurement: Measurement, reading: RecordedReading | None) -> Verdict:
    """Return the result of a reading against the acceptable range at its current.

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
