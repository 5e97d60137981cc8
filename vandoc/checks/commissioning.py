"""What was measured against what the van's model expects; only the newest reading of each counts."""

from collections.abc import Iterator

from vandoc.checks.amount import Amount
from vandoc.checks.case import PHRASES, Case, exceeds
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
def not_on_sheet(case: Case) -> Iterator[Breach]:
    """A reading names a measurement that this van's sheet does not have."""
    for measure, readings in case.taken.items():
        if measure not in case.measurements:
            trail = (*readings[-1].trail, "measure")
            yield Breach("reading-not-on-sheet", subject_of(measure), trail, {"measure": measure})


@rule("not-measured")
def unmeasured(case: Case) -> Iterator[Breach]:
    """Something of the sheet was never measured."""
    missing = [ident for ident in case.measurements if ident not in case.taken]
    if missing:
        words: dict[str, Word] = {
            "count": len(missing),
            "all": len(case.measurements),
            "first": missing[0],
        }
        yield Breach("not-measured", "commissioning", ("commissioning",), words)


@rule("connection-resistive", "drop-measured-high")
def resistive(case: Case) -> Iterator[Breach]:
    """More voltage is lost, or a joint has more resistance, than sound joints explain."""
    for measurement, one in _newest(case, *RESISTIVE):
        wanted = measurement.at(one.current_a)
        limit = _drop_limit_v(case, measurement)
        if measurement.kind == "drop" and limit is not None and exceeds(one.value, limit):
            words: dict[str, Word] = {"title": named(measurement, case.system).title}
            amounts = Amount(one.value, "V"), Amount(limit, "V")
            yield Breach("drop-measured-high", _subject(case, measurement), one.trail, words, *amounts)
        elif wanted.high is not None and judge(measurement, one) == "high":
            unit = UNITS[measurement.quantity]
            expected = wanted.expected or 0.0
            words = {
                "title": named(measurement, case.system).title,
                "expected": Amount(expected, unit),
                "excess": Amount(one.value - expected, unit),
            }
            amounts = Amount(one.value, unit), Amount(wanted.high, unit)
            yield Breach("connection-resistive", _subject(case, measurement), one.trail, words, *amounts)


@rule("charge-voltage-measured")
def charge_voltage(case: Case) -> Iterator[Breach]:
    """A battery is charged to another voltage than its chemistry and its charger's profile want."""
    for measurement, one in _newest(case, "charge-voltage"):
        verdict = judge(measurement, one)
        limit = {"low": measurement.low, "high": measurement.high}.get(verdict)
        if limit is not None:
            words: dict[str, Word] = {
                "name": case.name(subject_of(measurement.id)),
                "band": band(measurement),
                "way": Phrase(f"charge-{verdict}"),
            }
            amounts = Amount(one.value, "V", 2), Amount(limit, "V", 2)
            yield Breach("charge-voltage-measured", subject_of(measurement.id), one.trail, words, *amounts)


@rule("drain-high")
def drain(case: Case) -> Iterator[Breach]:
    """More current flows with everything off than what never sleeps takes."""
    for measurement, one in _newest(case, "drain"):
        if measurement.high is not None and judge(measurement, one) == "high":
            ident = subject_of(measurement.id)
            battery = case.leisure.get(ident)
            words: dict[str, Word] = {
                "name": case.name(ident),
                "expected": Amount(measurement.expected or 0.0, "A"),
                "flat": _flat(battery.capacity_ah / one.value) if battery else "",
            }
            amounts = Amount(one.value, "A"), Amount(measurement.high, "A")
            yield Breach("drain-high", ident, one.trail, words, *amounts)


@rule("reading-out-of-band")
def out_of_band(case: Case) -> Iterator[Breach]:
    """Any other reading that does not pass."""
    own = (*RESISTIVE, "charge-voltage", "drain")
    for measurement, one in _newest(case):
        verdict = judge(measurement, one)
        limit = {"low": measurement.low, "high": measurement.high}.get(verdict)
        if measurement.kind in own or limit is None:
            continue
        unit = UNITS[measurement.quantity]
        words: dict[str, Word] = {
            "title": named(measurement, case.system).title,
            "band": band(measurement),
            "read": one.written,
        }
        amounts = Amount(one.value, unit), Amount(limit, unit)
        yield Breach("reading-out-of-band", _subject(case, measurement), one.trail, words, *amounts)


@rule("trend-crosses-limit")
def trend(case: Case) -> Iterator[Breach]:
    """Readings over the years run towards a limit."""
    for found in trends(case.system, case.measurements, case.taken):
        if found.crosses is None:
            continue
        words: dict[str, Word] = {
            "title": named(found.measurement, case.system).title,
            "when": year_month(found.crosses),
            "count": len(found.points),
            "limit_shown": shown(found.measurement.quantity, found.limit),
            "read": found.last.written,
        }
        yield Breach("trend-crosses-limit", _subject(case, found.measurement), found.last.trail, words)


def _flat(hours: float) -> str:
    return PHRASES.say("flat-after", time=plain(duration(hours, sure="down")))


def _newest(case: Case, *kinds: str) -> Iterator[tuple[Measurement, Taken]]:
    for ident, measurement in case.measurements.items():
        if ident in case.taken and (not kinds or kind_of(ident) in kinds):
            yield measurement, case.taken[ident][-1]


def _drop_limit_v(case: Case, measurement: Measurement) -> float | None:
    found = case.sizing.drops.get(subject_of(measurement.id))
    return found.nominal_v * found.limit.percent / 100 if found is not None else None


def _subject(case: Case, measurement: Measurement) -> str:
    subject = subject_of(measurement.id)
    owner = subject.partition(".")[0]
    return owner if owner in case.system.equipment or owner in case.system.loads else subject
