"""Batteries in parallel are of one age and type."""

from collections.abc import Iterator

from vandoc.analysis import Van, exceeds
from vandoc.ground.data import constant
from vandoc.judgement.checks.amount import Amount
from vandoc.judgement.checks.rule import Breach, Word, review, rule
from vandoc.judgement.checks.shared.charging import banks


@rule(review("parallel-batteries-age"), review("parallel-batteries-type"))
def one_age_and_type(van: Van) -> Iterator[Breach]:
    """Batteries in parallel are of one age and type."""
    allowed = constant("age difference in parallel")
    for bank in banks(van):
        first, *others = bank.idents
        for other in others:
            one, two = van.leisure[first], van.leisure[other]
            words: dict[str, Word] = {"battery": two.name, "other": one.name}
            trail = van.trail(other)
            if one.installed is None or two.installed is None:
                yield Breach("parallel-batteries-age", other, trail, words, unknown=True)
            elif exceeds(months := abs((one.installed - two.installed).days) / 30.44, allowed.value):
                found, limit = Amount(months, "months"), Amount(allowed.value, "months")
                yield Breach("parallel-batteries-age", other, trail, words, found, limit, (allowed,))
            if one.make is None or two.make is None:
                yield Breach("parallel-batteries-type", other, trail, words, unknown=True)
            elif one.make.casefold() != two.make.casefold():
                words |= {"make": two.make, "other_make": one.make}
                yield Breach("parallel-batteries-type", other, trail, words)
