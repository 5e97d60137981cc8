"""Every date in the file is of the years in which the equipment is used."""

from collections.abc import Iterator
from datetime import date

from vandoc.analysis import Van
from vandoc.ground.data import constant
from vandoc.judgement.checks.rule import Breach, Word, review, rule
from vandoc.judgement.checks.shared.values import subject_of, values


@rule(review("date-implausible"))
def dates(van: Van) -> Iterator[Breach]:
    """Every date in the file is of the years in which the equipment is used."""
    first, last = constant("first year"), constant("last year")
    for trail, day in values(van.system, date):
        if not first.value <= day.year <= last.value:
            limit = first if day.year < first.value else last
            words: dict[str, Word] = {
                "date": day.isoformat(),
                "first": int(first.value),
                "last": int(last.value),
            }
            yield Breach("date-implausible", subject_of(trail), trail, words, cited=(limit,))
