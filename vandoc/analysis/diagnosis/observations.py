"""Observations in a van and the answers that each fault may give."""

from bisect import bisect_right
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field

from vandoc.analysis.diagnosis.faults import Fault
from vandoc.analysis.diagnosis.problem import Question
from vandoc.analysis.diagnosis.trial import Point, Trial
from vandoc.ground.data import constant, rows

Faults = tuple[Fault, ...]
Read = Callable[[Faults, Point], float | str]


@dataclass(frozen=True)
class Effort:
    """The minutes that one kind of question takes."""

    kind: str
    minutes: float
    source: str
    from_memory: bool


def efforts() -> dict[str, float]:
    """Return the minutes that each kind of question takes, and those added by a cover."""
    return {row.kind: row.minutes for row in rows("observation_effort", Effort)}


@dataclass(frozen=True)
class Observation:
    """A question with the function that answers it.

    Attributes
    ----------
    question : Question
    read : callable
        Takes faults and a solved van; returns a value, or the answer itself if nothing is measured.
    trial : Trial or None
        What the van does during the observation; None if it makes no difference.
    bands : tuple of float
        Limits of the value, ascending; a value below the first gives the first answer of `shown`.
    shown : tuple of str
        The answer in each band: one more than limits.
    noise : float
        Relative error of a reading. [1]
    edge : str or None
        The only cable, fuse or contact whose faults change the answer.
    """

    question: Question
    read: Read
    trial: Trial | None = None
    bands: tuple[float, ...] = ()
    shown: tuple[str, ...] = ()
    noise: float = 0.0
    edge: str | None = None
    _sets: dict[object, frozenset[str]] = field(default_factory=dict, compare=False, repr=False)

    def answer(self, value: float | str) -> str:
        """Return the answer for a value."""
        if isinstance(value, str):
            return value
        return self.shown[bisect_right(self.bands, value)]

    def possible(self, faults: Faults, points: Sequence[Point]) -> frozenset[str]:
        """Return the answers that are possible at and between some points, with noise."""
        read = self.read
        values = [read(faults, point) for point in points]
        words = [value for value in values if isinstance(value, str)]
        numbers = [value for value in values if not isinstance(value, str)]
        if not numbers:
            return self._set(frozenset(words))
        low, high = min(numbers), max(numbers)
        first = bisect_right(self.bands, low - self.noise * abs(low))
        last = bisect_right(self.bands, high + self.noise * abs(high))
        return self._set((first, last)) if not words else self._set((first, last)) | frozenset(words)

    def _set(self, key: tuple[int, int] | frozenset[str]) -> frozenset[str]:
        """The same set object for the same answers."""
        found = self._sets.get(key)
        if found is None:
            found = key if isinstance(key, frozenset) else frozenset(self.shown[key[0] : key[1] + 1])
            self._sets[key] = found
        return found


def meter_noise() -> float:
    """Return the relative error of a meter reading. [1]"""
    return float(constant("meter noise").value)
