"""What is asked next, and what an answer to it must be."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from vandoc.commissioning import Measurement, Taken, judge
from vandoc.recording.words import say
from vandoc.units import number_in


@dataclass(frozen=True)
class Asked:
    """One measurement that is asked for."""

    measurement: Measurement

    def read(self, text: str) -> float:
        """Return the number of an answer.

        Raises
        ------
        ValueError
            Where it is no such quantity.
        """
        number = number_in(self.measurement.quantity, text)
        if number < 0:
            raise ValueError(say("refuse.less", text=text))
        return number

    def verdict(self, value: float, current_a: float | None, day: date) -> str:
        """Return how an answer compares, in words."""
        return say(f"verdict.{judge(self.measurement, Taken(value, current_a, day, (), ''))}")


def ask_next(
    measurements: Mapping[str, Measurement], taken: Mapping[str, Sequence[Taken]], *, every: bool
) -> Iterator[Asked]:
    """Yield what is asked for, in the order of the sheet: what was never read, or everything."""
    for ident, measurement in measurements.items():
        if every or ident not in taken:
            yield Asked(measurement)
