"""Panels on one controller are alike where they are connected, and each has bypass diodes in a string."""

from collections.abc import Iterator, Mapping
from itertools import combinations, pairwise
from math import fsum

from vandoc.analysis import Van, exceeds
from vandoc.ground.data import constant
from vandoc.judgement.checks.amount import Amount
from vandoc.judgement.checks.rule import Breach, Word, fail, review, rule
from vandoc.judgement.checks.shared.solar import plants, string_of
from vandoc.model import equipment as eq


@rule(
    review("unlike-panels-in-parallel"),
    review("unlike-panels-in-series"),
    fail("no-bypass-diodes"),
)
def unlike_panels(van: Van) -> Iterator[Breach]:
    """Panels on one controller are alike where they are connected, and each has bypass diodes in a string."""
    for plant in plants(van):
        strings = [string_of(van, ident) for ident in plant.arrays]
        for one, other in combinations(strings, 2):
            (first, second), volts = (next(iter(one)), next(iter(other))), (_voc_v(one), _voc_v(other))
            yield from _apart(van, "unlike-panels-in-parallel", first, second, volts, "V")
        for string in strings:
            for first, second in pairwise(string):
                amps = (
                    string[first].isc_a * string[first].parallel,
                    string[second].isc_a * string[second].parallel,
                )
                yield from _apart(van, "unlike-panels-in-series", first, second, amps, "A")
            yield from _without_diodes(van, string)


def _apart(
    van: Van, slug: str, first: str, second: str, values: tuple[float, float], unit: str
) -> Iterator[Breach]:
    most, low, high = constant("difference of panels"), min(values), max(values)
    apart = 100 * (high - low) / high
    if exceeds(apart, most.value):
        names: dict[str, Word] = {"first": van.name(first), "second": van.name(second)}
        words = names | {"low": Amount(low, unit), "high": Amount(high, unit)}
        value, limit = Amount(apart, "%"), Amount(most.value, "%")
        yield Breach(slug, second, van.trail(second), words, value, limit, (most,))


def _voc_v(string: Mapping[str, eq.SolarArray]) -> float:
    return fsum(array.series * array.voc_v for array in string.values())


def _without_diodes(van: Van, string: Mapping[str, eq.SolarArray]) -> Iterator[Breach]:
    panels = sum(array.series for array in string.values())
    for ident, array in string.items():
        if not array.bypass and panels > 1:
            trail, words = (*van.trail(ident), "bypass"), {"array": van.name(ident)}
            yield Breach("no-bypass-diodes", ident, trail, words, unknown=array.bypass is None)
