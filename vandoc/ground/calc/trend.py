"""Linear trend of readings over years, and the day on which it reaches a limit."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import inf, isfinite
from statistics import linear_regression


@dataclass(frozen=True)
class Trend:
    """Straight line over days.

    Attributes
    ----------
    start : float
        Value on day 0.
    per_day : float
        Change per day.
    """

    start: float
    per_day: float

    def at(self, day: float) -> float:
        """Return its value on a given day."""
        return self.start + self.per_day * day

    def reaches(self, limit: float) -> float:
        """Return the day on which it reaches a limit; infinity for a level line.

        Examples
        --------
        >>> Trend(0.2, 0.001).reaches(0.3)
        99.99999999999997
        >>> Trend(0.2, 0.0).reaches(0.3)
        inf
        """
        day = (limit - self.start) / self.per_day if self.per_day else inf
        return day if isfinite(day) else inf


def trend(readings: Sequence[tuple[float, float]]) -> Trend:
    """Return the least-squares line through readings.

    Parameters
    ----------
    readings : sequence of (float, float)
        Day and value, on at least two different days; finite.

    Returns
    -------
    Trend

    Raises
    ------
    ValueError
        If there are not two different days, or a number is not finite.

    Examples
    --------
    >>> trend([(0.0, 1.0), (10.0, 3.0)])
    Trend(start=1.0, per_day=0.2)

    References
    ----------
    .. [1] Ordinary least squares, textbook method.
    """
    if not all(isfinite(number) for reading in readings for number in reading):
        raise ValueError("a reading is not finite")
    if len({day for day, _ in readings}) < 2:
        raise ValueError("a trend needs readings of two different days")
    slope, intercept = linear_regression([day for day, _ in readings], [value for _, value in readings])
    return Trend(intercept, slope)
