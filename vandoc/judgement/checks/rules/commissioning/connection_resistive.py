"""Measured voltage drops and joint resistances are within what good joints explain."""

from collections.abc import Iterator

from vandoc.analysis.commissioning import Measurement, judge
from vandoc.analysis.commissioning.words import measurement_words
from vandoc.analysis.van import Van, exceeds
from vandoc.judgement.checks.amount import Amount
from vandoc.judgement.checks.rule import Breach, Word, fail, rule
from vandoc.judgement.checks.shared.commissioning import RESISTIVE, UNITS, finding_subject, newest
from vandoc.model.records import subject_of


@rule(fail("connection-resistive"), fail("drop-measured-high"))
def resistive(van: Van) -> Iterator[Breach]:
    """Measured voltage drops and joint resistances are within what good joints explain."""
    for measurement, one in newest(van, *RESISTIVE):
        wanted = measurement.at(one.current_a)
        limit = _drop_limit_v(van, measurement)
        if measurement.kind == "drop" and limit is not None and exceeds(one.value, limit):
            words: dict[str, Word] = {"title": measurement_words(measurement, van.system).title}
            amounts = Amount(one.value, "V"), Amount(limit, "V")
            yield Breach("drop-measured-high", finding_subject(van, measurement), one.trail, words, *amounts)
        elif wanted.high is not None and judge(measurement, one) == "high":
            unit = UNITS[measurement.quantity]
            expected = wanted.expected or 0.0
            words = {
                "title": measurement_words(measurement, van.system).title,
                "expected": Amount(expected, unit),
                "excess": Amount(one.value - expected, unit),
            }
            amounts = Amount(one.value, unit), Amount(wanted.high, unit)
            yield Breach(
                "connection-resistive", finding_subject(van, measurement), one.trail, words, *amounts
            )


def _drop_limit_v(van: Van, measurement: Measurement) -> float | None:
    found = van.sizing.drops.get(subject_of(measurement.id))
    return found.nominal_v * found.limit.percent / 100 if found is not None else None
