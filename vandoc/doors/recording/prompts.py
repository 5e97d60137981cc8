"""Prompts for readings, and validation of the answers by the model, with a default unit."""

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from vandoc.analysis.commissioning import Measurement, RecordedReading, judge
from vandoc.analysis.commissioning.words import shown, unit_of
from vandoc.doors.recording.words import say
from vandoc.ground.units import number_in
from vandoc.model.base import StrictModel
from vandoc.model.van import Reading
from vandoc.reading.explain import as_stated

BARE_NUMBER = re.compile(r"[+\-−]?[0-9]+(\.[0-9]+)?")


@dataclass(frozen=True)
class MeasurementPrompt:
    """Prompt for one measurement."""

    measurement: Measurement

    @property
    def unit(self) -> str:
        """The unit in which the limits are shown; applied to an answer without a unit."""
        one = self.measurement
        limits = [limit for limit in (one.high, one.low, one.expected) if limit is not None]
        return unit_of(one.quantity, limits[0] if limits else 1.0)

    @property
    def usual_current(self) -> str:
        """The current at which the limits of a voltage drop apply, with unit; otherwise empty."""
        amps = self.measurement.amps_a
        return "" if amps is None else shown("current", amps)

    def value(self, text: str) -> str:
        """Return an answer as it is written to the file.

        Raises
        ------
        ValueError
            If it is not such a quantity, or is negative.
        """
        text = field(Reading, "value", in_unit(text, self.unit))
        self.number(text)
        return text

    def number(self, text: str) -> float:
        """Return the number of an answer in the unit of its kind of quantity; see :meth:`value`."""
        number = number_in(self.measurement.quantity, text)
        if number < 0:
            raise ValueError(say("refuse.less", text=text))
        return number

    def current(self, text: str) -> str:
        """Return a current as it is written to the file.

        Raises
        ------
        ValueError
            If the model does not accept it.
        """
        return field(Reading, "current_a", in_unit(text, self.usual_current.rpartition(" ")[2]))

    def verdict(self, value: float, current_a: float | None, day: date) -> str:
        """Return the result of a reading, in words."""
        return say(f"verdict.{judge(self.measurement, RecordedReading(value, current_a, day, (), ''))}")


def in_unit(text: str, unit: str) -> str:
    """Return a bare number with a unit; any other text unchanged.

    Examples
    --------
    >>> in_unit("8", "N·m"), in_unit("8 V", "N·m")
    ('8 N·m', '8 V')
    """
    return f"{text} {unit}" if BARE_NUMBER.fullmatch(text) else text


def field(part: type[StrictModel], attribute: str, text: str) -> str:
    """Return text that a field of the model accepts.

    Raises
    ------
    ValueError
        With a message, if the field does not accept it.
    """
    as_stated(part.model_fields[attribute].rebuild_annotation(), text)
    return text


def ask_next(
    measurements: Mapping[str, Measurement], taken: Mapping[str, Sequence[RecordedReading]], *, every: bool
) -> Iterator[MeasurementPrompt]:
    """Yield the prompts in the order of the sheet: those without a reading, or all."""
    for ident, measurement in measurements.items():
        if every or ident not in taken:
            yield MeasurementPrompt(measurement)
