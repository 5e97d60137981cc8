"""The array's Voc in the cold and its Isc do not exceed the ratings of the solar charge controller."""

from collections.abc import Iterator
from math import fsum

from vandoc.analysis import Van, exceeds
from vandoc.ground.data import constant
from vandoc.judgement.checks.amount import Amount
from vandoc.judgement.checks.cures import pieces
from vandoc.judgement.checks.cures.pieces import or_more
from vandoc.judgement.checks.rule import Breach, fail, rule
from vandoc.judgement.checks.shared.solar import plants, string_of, words_of


@rule(
    fail("array-voltage-above-controller", pieces.in_parallel, or_more("max_voc_v", "V")),
    fail("array-current-above-controller", or_more("max_isc_a", "A")),
)
def limits(van: Van) -> Iterator[Breach]:
    """The array's Voc in the cold and its Isc do not exceed the ratings of the solar charge controller."""
    for plant in plants(van):
        charger, trail = plant.charger, van.trail(plant.ident)
        for name, array in plant.arrays.items():
            volts = fsum(van.coldest_voc_v(one) for one in string_of(van, name).values())
            coldest = van.system.places[array.place].coldest_c
            words = words_of(van, plant) | {
                "array": van.name(name),
                "coldest": Amount(coldest, "°C"),
                "test": Amount(constant("standard test temperature").value, "°C"),
                "series": array.series,
                "voc": Amount(array.voc_v, "V"),
                "coefficient": Amount(array.voc_coefficient_percent_per_k, "%/K"),
            }
            limit = Amount(charger.max_voc_v, "V") if charger.max_voc_v else None
            if limit is None or exceeds(volts, limit.value):
                yield Breach(
                    "array-voltage-above-controller",
                    plant.ident,
                    trail,
                    words,
                    Amount(volts, "V"),
                    limit,
                    unknown=limit is None,
                )
        limit = Amount(charger.max_isc_a, "A") if charger.max_isc_a else None
        if limit is None or exceeds(plant.isc_a, limit.value):
            yield Breach(
                "array-current-above-controller",
                plant.ident,
                trail,
                words_of(van, plant),
                Amount(plant.isc_a, "A"),
                limit,
                unknown=limit is None,
            )
