"""What can be looked at in a van, and what is seen there with a fault in it."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass

from vandoc.data import constant, rows
from vandoc.diagnosis.faults import Fault
from vandoc.diagnosis.problem import Question
from vandoc.diagnosis.trial import Point, Trial

Faults = tuple[Fault, ...]
Read = Callable[[Faults, Point], float | str]


@dataclass(frozen=True)
class Effort:
    """How many minutes one kind of question takes."""

    kind: str
    minutes: float
    source: str
    from_memory: bool


def efforts() -> dict[str, float]:
    """Return the minutes that each kind of question takes, and what a cover adds."""
    return {row.kind: row.minutes for row in rows("observation_effort", Effort)}


@dataclass(frozen=True)
class Observation:
    """A question with the way to its answer.

    Attributes
    ----------
    question : Question
    read : callable
        From faults and a solved van to a value, or to an answer where no measuring is needed.
    bands : tuple of float
        Limits of the value, rising; the value below the first gives the first of `shown`, and so on.
    trial : Trial or None
        What the van does meanwhile; None where that makes no difference.
    shown : tuple of str
        The answer in each band.
    noise : float
        What a reading may be off, as a part of it. [1]
    """

    question: Question
    read: Read
    trial: Trial | None = None
    bands: tuple[float, ...] = ()
    shown: tuple[str, ...] = ()
    noise: float = 0.0

    def answer(self, value: float | str) -> str:
        """Return the answer that a value gives."""
        if isinstance(value, str):
            return value
        return self.shown[sum(value >= limit for limit in self.bands)]

    def possible(self, faults: Faults, points: Iterable[Point]) -> frozenset[str]:
        """Return the answers that may be got anywhere between some points, with noise."""
        found: set[str] = set()
        values = []
        for point in points:
            value = self.read(faults, point)
            if isinstance(value, str):
                found.add(value)
            else:
                values.append(value)
        if values:
            low, high = min(values), max(values)
            low -= self.noise * abs(low)
            high += self.noise * abs(high)
            first = sum(low >= limit for limit in self.bands)
            last = sum(high >= limit for limit in self.bands)
            found.update(self.shown[first : last + 1])
        return frozenset(found)


def meter_noise() -> float:
    """Return what a reading of a meter may be off, as a part of it. [1]"""
    return float(constant("meter noise").value)
