"""The measured charging voltage suits the battery chemistry and the charging profile."""

from collections.abc import Iterator

from vandoc.analysis.commissioning import judge
from vandoc.analysis.commissioning.words import band
from vandoc.analysis.van import Van
from vandoc.judgement.checks.amount import Amount
from vandoc.judgement.checks.rule import Breach, Phrase, Word, fail, rule
from vandoc.judgement.checks.shared.commissioning import newest
from vandoc.model.records import subject_of


@rule(fail("charge-voltage-measured"))
def charge_voltage(van: Van) -> Iterator[Breach]:
    """The measured charging voltage suits the battery chemistry and the charging profile."""
    for measurement, one in newest(van, "charge-voltage"):
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
