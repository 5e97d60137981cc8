"""The temperature coefficient of Voc is negative: the voltage of a panel rises in the cold."""

from collections.abc import Iterator

from vandoc.analysis import Van
from vandoc.judgement.checks.amount import Amount
from vandoc.judgement.checks.rule import Breach, review, rule
from vandoc.model import equipment as eq


@rule(review("voltage-coefficient-positive"))
def coefficient(van: Van) -> Iterator[Breach]:
    """The temperature coefficient of Voc is negative: the voltage of a panel rises in the cold."""
    for ident, array in van.of_kind(eq.SolarArray):
        found = array.voc_coefficient_percent_per_k
        if found > 0:
            trail = (*van.trail(ident), "voc_coefficient")
            words = {"array": van.name(ident)}
            yield Breach("voltage-coefficient-positive", ident, trail, words, Amount(found, "%/K"))
