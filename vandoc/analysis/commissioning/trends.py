"""Readings of one measurement over the years: the line through them, and when it will meet its limit."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from itertools import groupby

from vandoc.analysis.commissioning.measurement import Measurement, RecordedReading
from vandoc.ground.calc.trend import Trend as Line
from vandoc.ground.calc.trend import trend as straight_line
from vandoc.ground.data import constant
from vandoc.model.records import subject_of
from vandoc.model.system import System

FEWEST = 3  # a line through two readings is what their error makes it
FOLLOWED = ("rest-voltage", "drain", "cable", "drop", "earth", "capacity", "charge-current")


@dataclass(frozen=True)
class Trend:
    """The readings of one measurement since what it is of was last replaced.

    Attributes
    ----------
    measurement : Measurement
    points : tuple of (date, float)
        One for each day, the oldest first; drops as they would be at the expected current.
    limit : float
        The one that the readings near, or would pass.
    line : Line
        By days since the first.
    crosses : date or None
        When the line meets the limit; None where it does not, or only beyond the years that count.
    last : RecordedReading
    """

    measurement: Measurement
    points: tuple[tuple[date, float], ...]
    limit: float
    line: Line
    crosses: date | None
    last: RecordedReading


def trends(
    system: System, measurements: Mapping[str, Measurement], taken: Mapping[str, Sequence[RecordedReading]]
) -> Iterator[Trend]:
    """Yield a trend for each measurement that was read on three days or more, in the order of the sheet."""
    renewed = _renewed(system)
    for ident, measurement in measurements.items():
        if measurement.kind not in FOLLOWED:
            continue
        owner = subject_of(ident).partition(".")[0]
        since = max(renewed.get(owner, date.min), renewed.get(subject_of(ident), date.min))
        readings = [one for one in taken.get(ident, ()) if one.date >= since]
        points = tuple((day, list(of_day)[-1]) for day, of_day in groupby(readings, key=lambda one: one.date))
        limit = measurement.high if measurement.high is not None else measurement.low
        if measurement.kind in ("rest-voltage", "charge-current"):
            limit = measurement.low
        if len(points) < FEWEST or limit is None:
            continue
        yield _trend(measurement, [(day, one) for day, one in points], limit)


def _trend(measurement: Measurement, points: list[tuple[date, RecordedReading]], limit: float) -> Trend:
    first, last = points[0][0], points[-1][1]
    values = tuple((day, _even(measurement, one)) for day, one in points)
    last_day = float((points[-1][0] - first).days)
    line = straight_line([(float((day - first).days), value) for day, value in values])
    met, crosses = line.reaches(limit), None
    years = constant("trend horizon").value
    if last_day < met <= last_day + years * 365.25:
        crosses = first + timedelta(days=int(met))
    return Trend(measurement, values, limit, line, crosses, last)


def _even(measurement: Measurement, one: RecordedReading) -> float:
    """The reading as it would be at the expected current."""
    if measurement.amps_a is None or not one.current_a:
        return one.value
    return one.value * measurement.amps_a / one.current_a


def _renewed(system: System) -> dict[str, date]:
    """By name, when a thing was last replaced."""
    found: dict[str, date] = {}
    for service in system.services:
        for name in service.replaced:
            found[name] = max(service.date, found.get(name, date.min))
    return found
