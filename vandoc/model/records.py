"""What the file records of its van's days: readings and services that do not fit it or each other."""

from collections.abc import Callable, Iterator

from vandoc.ground.units import KINDS, number_in
from vandoc.model.system import System
from vandoc.model.van import Reading

Trail = tuple[str | int, ...]
Fault = tuple[Trail, str]

MEASURES = {
    "torque": "torque",
    "insulation": "resistance",
    "earth": "resistance",
    "rest-voltage": "voltage",
    "voltage": "voltage",
    "drain": "current",
    "cable": "voltage",
    "drop": "voltage",
    "charge-voltage": "voltage",
    "charge-current": "current",
    "capacity": "capacity",
}
"""Each kind of measurement of the sheet, and of what kind of quantity it is; a part of `units.KINDS`."""


def kind_of(measure: str) -> str:
    """Return the kind of a measurement: what stands before the first full stop of its name.

    Examples
    --------
    >>> kind_of("torque.house.+"), subject_of("torque.house.+")
    ('torque', 'house.+')
    """
    return measure.partition(".")[0]


def subject_of(measure: str) -> str:
    """Return what a measurement is of."""
    return measure.partition(".")[2]


def amount(reading: Reading) -> float:
    """Return the number of a reading that names its measurement, in the unit of its kind of quantity.

    Raises
    ------
    ValueError
        If its value is no such quantity.
    """
    if reading.measure is None:
        raise ValueError("a reading described with 'what' has no number")
    return number_in(MEASURES[kind_of(reading.measure)], reading.value)


def record_faults(
    system: System, unknown: Callable[[Trail, str, list[str], str], Fault], terminals: dict[str, None]
) -> Iterator[Fault]:
    """Yield what is wrong with readings and services, with the path of the value.

    Parameters
    ----------
    system : System
    unknown : callable
        Makes the fault of a name that nothing has.
    terminals : dict
        Every terminal of the van.
    """
    things = [*system.equipment, *system.loads, *(circuit.id for circuit in system.circuits)]
    things += [cable.id or f"{cable.start} to {cable.end}" for cable in system.cables]
    measured = [*things, *terminals]
    for section in ("commissioning", "services"):
        for index, visit in enumerate(getattr(system, section)):
            for number, reading in enumerate(visit.readings):
                yield from _reading((section, index, "readings", number), reading, measured, unknown)
            if system.van.built is not None and section == "services" and visit.date < system.van.built:
                yield (
                    (section, index, "date"),
                    f"{visit.date} is before the van was built ({system.van.built}); correct one of them",
                )
    for index, service in enumerate(system.services):
        for number, name in enumerate(service.replaced):
            if name not in things:
                trail: Trail = ("services", index, "replaced", number)
                yield unknown(trail, name, things, "item, load, cable or circuit")


def _reading(
    trail: Trail,
    reading: Reading,
    known: list[str],
    unknown: Callable[[Trail, str, list[str], str], Fault],
) -> Iterator[Fault]:
    if (reading.measure is None) == (reading.what is None):
        yield trail, "a reading needs 'measure' or 'what', and not both; enter one of them"
    if reading.measure is None:
        return
    kind, subject = kind_of(reading.measure), subject_of(reading.measure)
    if kind not in MEASURES:
        yield unknown((*trail, "measure"), kind, list(MEASURES), "kind of measurement")
        return
    if subject not in known:
        yield unknown((*trail, "measure"), subject, known, "item, load, cable, circuit or terminal")
    try:
        if amount(reading) < 0:
            yield (*trail, "value"), f"{reading.value!r} is below 0; enter 0 or more"
    except ValueError as error:
        yield (*trail, "value"), str(error)


assert set(MEASURES.values()) <= set(KINDS)
