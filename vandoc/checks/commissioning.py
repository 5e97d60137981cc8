"""What was measured against what the van's model expects; only the newest reading of each counts."""

from collections.abc import Iterator

from vandoc.analysis.van import PHRASES, Van, exceeds
from vandoc.checks.amount import Amount
from vandoc.checks.rule import Breach, Phrase, Word, rule
from vandoc.commissioning import Measurement, Taken, judge
from vandoc.commissioning.trends import trends
from vandoc.commissioning.words import band, named, shown
from vandoc.figures import duration, plain, year_month
from vandoc.model.records import kind_of, subject_of

UNITS = {
    "voltage": "V",
    "current": "A",
    "resistance": "Ω",
    "torque": "N·m",
    "capacity": "Ah",
}
RESISTIVE = ("cable", "drop", "earth")


@rule("reading-not-on-sheet")
def not_on_sheet(van: Van) -> Iterator[Breach]:
    """A reading names a measurement that this van's sheet does not have."""
    for measure, readings in van.taken.items():
        if measure not in van.measurements:
            trail = (*readings[-1].trail, "measure")
            yield Breach("reading-not-on-sheet", subject_of(measure), trail, {"measure": measure})


@rule("not-measured")
def unmeasured(van: Van) -> Iterator[Breach]:
    """Something of the sheet was never measured."""
    missing = [ident for ident in van.measurements if ident not in van.taken]
    if missing:
        words: dict[str, Word] = {
            "count": len(missing),
            "all": len(van.measurements),
            "first": missing[0],
        }
        yield Breach("not-measured", "commissioning", ("commissioning",), words)


@rule("connection-resistive", "drop-measured-high")
def resistive(van: Van) -> Iterator[Breach]:
    """More voltage is lost, or a joint has more resistance, than sound joints explain."""
    for measurement, one in _newest(van, *RESISTIVE):
        wanted = measurement.at(one.current_a)
        limit = _drop_limit_v(van, measurement)
        if measurement.kind == "drop" and limit is not None and exceeds(one.value, limit):
            words: dict[str, Word] = {"title": named(measurement, van.system).title}
            amounts = Amount(one.value, "V"), Amount(limit, "V")
            yield Breach("drop-measured-high", _subject(van, measurement), one.trail, words, *amounts)
        elif wanted.high is not None and judge(measurement, one) == "high":
            unit = UNITS[measurement.quantity]
            expected = wanted.expected or 0.0
            words = {
                "title": named(measurement, van.system).title,
                "expected": Amount(expected, unit),
                "excess": Amount(one.value - expected, unit),
            }
            amounts = Amount(one.value, unit), Amount(wanted.high, unit)
            yield Breach("connection-resistive", _subject(van, measurement), one.trail, words, *amounts)


@rule("charge-voltage-measured")
def charge_voltage(van: Van) -> Iterator[Breach]:
    """A battery is charged to another voltage than its chemistry and its charger's profile want."""
    for measurement, one in _newest(van, "charge-voltage"):
        verdict = judge(measurement, one)
        limit = {"low": measurement.low, "high": measurement.high}.get(verdict)
        if limit is not None:
            words: dict[str, Word] = {
                "name": van.name(subject_of(measurement.id)),
                "band": band(measurement),
                "way": Phrase(f"charge-{verdict}"),
            }
            amounts = Amount(one.value, "V", 2), Amount(limit, "V", 2)
            yield Breach("charge-voltage-measured", subject_of(measurement.id), one.trail, words, *amounts)


@rule("drain-high")
def drain(van: Van) -> Iterator[Breach]:
    """More current flows with everything off than what never sleeps takes."""
    for measurement, one in _newest(van, "drain"):
        if measurement.high is not None and judge(measurement, one) == "high":
            ident = subject_of(measurement.id)
            battery = van.leisure.get(ident)
            words: dict[str, Word] = {
                "name": van.name(ident),
                "expected": Amount(measurement.expected or 0.0, "A"),
                "flat": _flat(battery.capacity_ah / one.value) if battery else "",
            }
            amounts = Amount(one.value, "A"), Amount(measurement.high, "A")
            yield Breach("drain-high", ident, one.trail, words, *amounts)


@rule("reading-out-of-band")
def out_of_band(van: Van) -> Iterator[Breach]:
    """Any other reading that does not pass."""
    own = (*RESISTIVE, "charge-voltage", "drain")
    for measurement, one in _newest(van):
        verdict = judge(measurement, one)
        limit = {"low": measurement.low, "high": measurement.high}.get(verdict)
        if measurement.kind in own or limit is None:
            continue
        unit = UNITS[measurement.quantity]
        words: dict[str, Word] = {
            "title": named(measurement, van.system).title,
            "band": band(measurement),
            "read": one.written,
        }
        amounts = Amount(one.value, unit), Amount(limit, unit)
        yield Breach("reading-out-of-band", _subject(van, measurement), one.trail, words, *amounts)


@rule("trend-crosses-limit")
def trend(van: Van) -> Iterator[Breach]:
    """Readings over the years run towards a limit."""
    for found in trends(van.system, van.measurements, van.taken):
        if found.crosses is None:
            continue
        words: dict[str, Word] = {
            "title": named(found.measurement, van.system).title,
            "when": year_month(found.crosses),
            "count": len(found.points),
            "limit_shown": shown(found.measurement.quantity, found.limit),
            "read": found.last.written,
        }
        yield Breach("trend-crosses-limit", _subject(van, found.measurement), found.last.trail, words)


def _flat(hours: float) -> str:
    return PHRASES.say("flat-after", time=plain(duration(hours, sure="down")))


def _newest(van: Van, *kinds: str) -> Iterator[tuple[Measurement, Taken]]:
    for ident, measurement in van.measurements.items():
        if ident in van.taken and (not kinds or kind_of(ident) in kinds):
            yield measurement, van.taken[ident][-1]


def _drop_limit_v(van: Van, measurement: Measurement) -> float | None:
    found = van.sizing.drops.get(subject_of(measurement.id))
    return found.nominal_v * found.limit.percent / 100 if found is not None else None


def _subject(van: Van, measurement: Measurement) -> str:
    subject = subject_of(measurement.id)
    owner = subject.partition(".")[0]
    return owner if owner in van.system.equipment or owner in van.system.loads else subject
