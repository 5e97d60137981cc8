"""Measurements in words: title, test points, instrument, method and values."""

from collections.abc import Mapping
from dataclasses import dataclass

from vandoc.analysis.commissioning.measurement import Measurement
from vandoc.ground import figures
from vandoc.ground.figures import plain
from vandoc.ground.messages import Messages
from vandoc.ground.units import KINDS
from vandoc.model.records import subject_of
from vandoc.model.system import CompletedSystem

WORDS = Messages("vandoc.analysis.commissioning", "measurements")
say = WORDS.say


@dataclass(frozen=True)
class MeasurementWords:
    """A measurement in words.

    Attributes
    ----------
    title : str
        What is measured.
    probes : str
        Where the probes are placed, by the names of terminals.
    instrument, method : str
    running : str
        What is on during the measurement and its current; empty if nothing is.
    expected, band : str
        Expected value and acceptable range with units; empty if there is none.
    """

    title: str
    probes: str
    instrument: str
    method: str
    running: str
    expected: str
    band: str


def shown(quantity: str, value: float) -> str:
    """Return a value with its unit as findings show it; a voltage of 1 V or more has two decimals.

    Examples
    --------
    >>> shown("voltage", 0.0461), shown("resistance", 10000.0), shown("torque", 9.0), shown("voltage", 13.25)
    ('46.1 mV', '10 kΩ', '9 N·m', '13.25 V')
    >>> shown("time", 0.05)
    '3 min'
    """
    unit = _unit(quantity)
    if unit == "h" and value < 1:
        value, unit = 60 * value, "min"
    return plain(figures.quantity(value, unit, places=2 if unit == "V" else None))


def _unit(quantity: str) -> str:
    unit = KINDS[quantity].unit
    return {"ohm": "Ω", "N*m": "N·m"}.get(unit, unit)


def unit_of(quantity: str, value: float) -> str:
    """Return the unit in which a value is shown.

    Examples
    --------
    >>> unit_of("voltage", 0.238), unit_of("torque", 9.0)
    ('mV', 'N·m')
    """
    return shown(quantity, value).rpartition(" ")[2]


def band(measurement: Measurement) -> str:
    """Return the acceptable range in words; empty if there is no limit."""
    low, high = measurement.low, measurement.high
    if low is not None and high is not None:
        unit = _unit(measurement.quantity)
        return plain(figures.span(low, high, unit, places=2 if unit == "V" else None))
    if low is not None:
        return say("band.least", low=shown(measurement.quantity, low))
    return say("band.most", high=shown(measurement.quantity, high)) if high is not None else ""


def measurement_words(measurement: Measurement, system: CompletedSystem) -> MeasurementWords:
    """Return a measurement in words."""
    kind, subject = measurement.kind, subject_of(measurement.id)
    owner = subject.partition(".")[0]
    thing = system.equipment.get(owner) or system.loads.get(owner)
    name = thing.name if thing is not None else _of_place(subject, system)
    running = system.loads.get(measurement.running) or system.equipment.get(measurement.running)
    words = {
        "name": name,
        "subject": subject,
        "running": running.name if running is not None else measurement.running,
        "amps": shown("current", measurement.amps_a) if measurement.amps_a else "",
    }
    entry = f"measurements.{kind}"
    return MeasurementWords(
        title=say(f"{entry}.lug", **lug) if (lug := _lug(measurement)) else say(f"{entry}.title", **words),
        probes=say("lug", **lug) if lug else _probes(measurement.places),
        instrument=say(f"{entry}.instrument"),
        method=say(f"{entry}.method"),
        running=_running(measurement, words),
        expected=shown(measurement.quantity, measurement.expected)
        if measurement.expected is not None
        else "",
        band=band(measurement),
    )


def _lug(measurement: Measurement) -> dict[str, str]:
    """Return the terminal and the cable of a lug on a bar; empty for anything else."""
    terminal, _, cable = subject_of(measurement.id).partition(" ")
    return {"terminal": terminal, "cable": cable} if measurement.kind == "torque" and cable else {}


def _of_place(subject: str, system: CompletedSystem) -> str:
    """Return an alarm without a load in words: what it detects, and where; any other subject unchanged."""
    first, _, detects = subject.partition(" ")
    place = system.places.get(first)
    return say("at_place", detects=detects, place=place.label) if place is not None and detects else subject


def _probes(places: tuple[str, ...]) -> str:
    return say("probes", one=places[0], other=places[1]) if len(places) == 2 else ", ".join(places)


def _running(measurement: Measurement, words: Mapping[str, str]) -> str:
    if not measurement.running:
        return ""
    return say("running.amps" if measurement.amps_a else "running.only", **words)
