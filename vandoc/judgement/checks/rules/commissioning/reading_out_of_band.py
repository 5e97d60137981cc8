"""Readings that no other rule covers are within their acceptable range."""

from collections.abc import Iterator

from vandoc.analysis.commissioning import judge
from vandoc.analysis.commissioning.words import band, measurement_words
from vandoc.analysis.van import Van
from vandoc.ground.measures import value_in_house
from vandoc.judgement.checks.amount import Amount
from vandoc.judgement.checks.rule import Breach, Word, review, rule
from vandoc.judgement.checks.shared.commissioning import RESISTIVE, UNITS, finding_subject, newest


@rule(review("reading-out-of-band"))
def out_of_band(van: Van) -> Iterator[Breach]:
    """Readings that no other rule covers are within their acceptable range."""
    own = (*RESISTIVE, "charge-voltage", "drain")
    for measurement, one in newest(van):
        verdict = judge(measurement, one)
        limit = {"low": measurement.low, "high": measurement.high}.get(verdict)
        if measurement.kind in own or limit is None:
            continue
        unit = UNITS[measurement.quantity]
        words: dict[str, Word] = {
            "title": measurement_words(measurement, van.system).title,
            "band": band(measurement),
            "read": value_in_house(one.written),
        }
        amounts = Amount(one.value, unit), Amount(limit, unit)
        yield Breach("reading-out-of-band", finding_subject(van, measurement), one.trail, words, *amounts)
