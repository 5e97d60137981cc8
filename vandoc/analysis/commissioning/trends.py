"""Readings of one measurement over the years: the line through them and when it reaches the limit."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from itertools import groupby

from vandoc.analysis.commissioning.measurement import Measurement, RecordedReading
from vandoc.ground.calc.trend import Trend as Line
from vandoc.ground.calc.trend import trend as straight_line
from vandoc.ground.data import constant
from vandoc.model.records import subject_of
from vandoc.model.system import CompletedSystem

MIN_READINGS = 3  # the slope of a line through two readings is mostly their error
KINDS_WITH_TREND = ("rest-voltage", "drain", "cable", "drop", "earth", "capacity", "charge-current")


@dataclass(frozen=True)
class Trend:
    """The readings of one measurement since its item was last replaced.

    Attributes
    ----------
    measurement : Measurement
    points : tuple of (date, float)
        One for each day, oldest first; voltage drops scaled to the expected current.
    limit : float
        The limit towards which the readings may move.
    line : Line
        Over days since the first reading.
    crosses : date or None
        When the line reaches the limit; None if it does not within the period considered.
    last : RecordedReading
    """

    measurement: Measurement
    points: tuple[tuple[date, float], ...]
    limit: float
    line: Line
    crosses: date | None
    last: RecordedReading


def trends(
    system: CompletedSystem,
    measurements: Mapping[str, Measurement],
    taken: Mapping[str, Sequence[RecordedReading]],
) -> Iterator[Trend]:
    """Yield a trend for each measurement with readings of three days or more, in the order of the sheet."""
    replaced = _last_replaced(system)
    for ident, measurement in measurements.items():
        if measurement.kind not in KINDS_WITH_TREND:
            continue
        owner = subject_of(ident).partition(".")[0]
        since = max(replaced.get(owner, date.min), replaced.get(subject_of(ident), date.min))
        readings = [one for one in taken.get(ident, ()) if one.date >= since]
        points = tuple((day, list(of_day)[-1]) for day, of_day in groupby(readings, key=lambda one: one.date))
        limit = measurement.high if measurement.high is not None else measurement.low
        if measurement.kind in ("rest-voltage", "charge-current"):
            limit = measurement.low
        if len(points) < MIN_READINGS or limit is None:
            continue
        yield _trend(measurement, [(day, one) for day, one in points], limit)


def _trend(measurement: Measurement, points: list[tuple[date, RecordedReading]], limit: float) -> Trend:
    first, last = points[0][0], points[-1][1]
    values = tuple((day, _scaled(measurement, one)) for day, one in points)
    last_day = float((points[-1][0] - first).days)
    line = straight_line([(float((day - first).days), value) for day, value in values])
    met, crosses = line.reaches(limit), None
    years = constant("trend horizon").value
    if last_day < met <= last_day + years * 365.25:
        crosses = first + timedelta(days=int(met))
    return Trend(measurement, values, limit, line, crosses, last)


def _scaled(measurement: Measurement, one: RecordedReading) -> float:
    """The reading scaled to the expected current."""
    if measurement.amps_a is None or not one.current_a:
        return one.value
    return one.value * measurement.amps_a / one.current_a


def _last_replaced(system: CompletedSystem) -> dict[str, date]:
    """The day on which each item was last replaced, by its identifier."""
    found: dict[str, date] = {}
    for service in system.services:
        for name in service.replaced:
            found[name] = max(service.date, found.get(name, date.min))
    return found
