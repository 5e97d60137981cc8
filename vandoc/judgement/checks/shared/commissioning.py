"""Functions shared by the rules on commissioning."""

from collections.abc import Iterator

from vandoc.analysis.commissioning import Measurement, RecordedReading
from vandoc.analysis.van import Van
from vandoc.model.records import kind_of, subject_of

UNITS = {
    "voltage": "V",
    "current": "A",
    "resistance": "Ω",
    "torque": "N·m",
    "capacity": "Ah",
}


RESISTIVE = ("cable", "drop", "earth")


def newest(van: Van, *kinds: str) -> Iterator[tuple[Measurement, RecordedReading]]:
    for ident, measurement in van.measurements.items():
        if ident in van.taken and (not kinds or kind_of(ident) in kinds):
            yield measurement, van.taken[ident][-1]


def finding_subject(van: Van, measurement: Measurement) -> str:
    subject = subject_of(measurement.id)
    owner = subject.partition(".")[0]
    return owner if owner in van.system.equipment or owner in van.system.loads else subject
