"""The measured standby current is no higher than the loads that are always on explain."""

from collections.abc import Iterator

from vandoc.analysis.commissioning import judge
from vandoc.analysis.van import PHRASES, Van
from vandoc.ground.figures import duration, plain
from vandoc.judgement.checks.amount import Amount
from vandoc.judgement.checks.rule import Breach, Word, review, rule
from vandoc.judgement.checks.shared.commissioning import newest
from vandoc.model.records import subject_of


@rule(review("drain-high"))
def drain(van: Van) -> Iterator[Breach]:
    """The measured standby current is no higher than the loads that are always on explain."""
    for measurement, one in newest(van, "drain"):
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


def _flat(hours: float) -> str:
    return PHRASES.say("flat-after", time=plain(duration(hours, sure="down")))
