"""Checks of readings and services recorded in the van file, against the van and each other."""

import re
from collections.abc import Callable, Iterator
from typing import get_args

from vandoc.ground.messages import Messages
from vandoc.ground.units import KINDS, number_in
from vandoc.model.fitting import Detects
from vandoc.model.system import System
from vandoc.model.van import Reading

say = Messages("vandoc.model", "faults").say

Trail = tuple[str | int, ...]
Fault = tuple[Trail, str]

MEASURES = {
    "torque": "torque",
    "insulation": "resistance",
    "earth": "resistance",
    "rest-voltage": "voltage",
    "voltage": "voltage",
    "drain": "current",
    "isolated": "voltage",
    "isolated-by-day": "voltage",
    "alarm": "time",
    "cut-off": "voltage",
    "recovery": "voltage",
    "full-load": "voltage",
    "cable": "voltage",
    "drop": "voltage",
    "charge-voltage": "voltage",
    "charge-current": "current",
    "capacity": "capacity",
}
"""Measurements of the test sheet, with their kind of quantity; a subset of `units.KINDS`."""


def kind_of(measure: str) -> str:
    """Return the kind of a measurement: the part of its name before the first full stop.

    Examples
    --------
    >>> kind_of("torque.house.+"), subject_of("torque.house.+")
    ('torque', 'house.+')
    """
    return measure.partition(".")[0]


def subject_of(measure: str) -> str:
    """Return the subject of a measurement."""
    return measure.partition(".")[2]


def amount(reading: Reading) -> float:
    """Return the value of a reading of a named measurement, in the unit of its kind of quantity.

    Raises
    ------
    ValueError
        If its value is not such a quantity.
    """
    if reading.measure is None:
        raise ValueError(say("records.what_without_number"))
    return number_in(MEASURES[kind_of(reading.measure)], reading.value)


def record_faults(
    system: System, unknown: Callable[[Trail, str, list[str], str], Fault], terminals: dict[str, None]
) -> Iterator[Fault]:
    """Yield problems with readings and services, each with the path of the value.

    Parameters
    ----------
    system : System
    unknown : callable
        Creates the problem for an unknown name.
    terminals : dict
        Every terminal of the van.
    """
    things = [*system.equipment, *system.loads, *(circuit.id for circuit in system.circuits)]
    things += [cable.id or f"{cable.start} to {cable.end}" for cable in system.cables]
    measured = [*things, *terminals, *system.places]
    for section in ("commissioning", "services"):
        for index, visit in enumerate(getattr(system, section)):
            for number, reading in enumerate(visit.readings):
                yield from _reading((section, index, "readings", number), reading, measured, unknown)
            if system.van.built is not None and section == "services" and visit.date < system.van.built:
                yield (
                    (section, index, "date"),
                    say("records.before_built", date=visit.date, built=system.van.built),
                )
    for index, service in enumerate(system.services):
        for number, name in enumerate(service.replaced):
            if name not in things:
                trail: Trail = ("services", index, "replaced", number)
                yield unknown(trail, name, things, say("records.replaced"))


def names(subject: str, kind: str, known: list[str]) -> bool:
    """Whether a subject is known; that of a lug or an alarm may have a second part after a space."""
    first, _, rest = subject.partition(" ")
    if subject in known:
        return True
    if kind == "alarm":
        return first in known and rest in get_args(Detects)
    side = re.fullmatch(r"(.+?)( (supply|return)( \d+)?| \(\d+\))", rest)
    return kind == "torque" and first in known and (rest in known or (side is not None and side[1] in known))


def _reading(
    trail: Trail,
    reading: Reading,
    known: list[str],
    unknown: Callable[[Trail, str, list[str], str], Fault],
) -> Iterator[Fault]:
    if (reading.measure is None) == (reading.what is None):
        yield trail, say("records.measure_or_what")
    if reading.measure is None:
        return
    kind, subject = kind_of(reading.measure), subject_of(reading.measure)
    if kind not in MEASURES:
        yield unknown((*trail, "measure"), kind, list(MEASURES), say("records.kind_of_measurement"))
        return
    if not names(subject, kind, known):
        yield unknown((*trail, "measure"), subject, known, say("records.subject"))
    try:
        if amount(reading) < 0:
            yield (*trail, "value"), say("records.below_zero", value=reading.value)
    except ValueError as error:
        yield (*trail, "value"), str(error)


assert set(MEASURES.values()) <= set(KINDS)
