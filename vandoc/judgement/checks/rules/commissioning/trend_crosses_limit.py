"""The trend of readings over the years does not reach a limit soon."""

from collections.abc import Iterator

from vandoc.analysis.commissioning.trends import trends
from vandoc.analysis.commissioning.words import measurement_words, shown
from vandoc.analysis.van import Van
from vandoc.ground.figures import year_month
from vandoc.ground.measures import value_in_house
from vandoc.judgement.checks.rule import Breach, Word, review, rule
from vandoc.judgement.checks.shared.commissioning import finding_subject


@rule(review("trend-crosses-limit"))
def trend(van: Van) -> Iterator[Breach]:
    """The trend of readings over the years does not reach a limit soon."""
    for found in trends(van.system, van.measurements, van.taken):
        if found.crosses is None:
            continue
        words: dict[str, Word] = {
            "title": measurement_words(found.measurement, van.system).title,
            "when": year_month(found.crosses),
            "count": len(found.points),
            "limit_shown": shown(found.measurement.quantity, found.limit),
            "read": value_in_house(found.last.written),
        }
        yield Breach("trend-crosses-limit", finding_subject(van, found.measurement), found.last.trail, words)
