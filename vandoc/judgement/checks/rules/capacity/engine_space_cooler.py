"""The ambient temperature stated for an engine bay is not below the one that the standard assumes."""

from collections.abc import Iterator

from vandoc.analysis import Van
from vandoc.ground.data import constant
from vandoc.judgement.checks.amount import Amount
from vandoc.judgement.checks.rule import Breach, review, rule


@rule(review("engine-space-cooler"))
def engine_space(van: Van) -> Iterator[Breach]:
    """The ambient temperature stated for an engine bay is not below the one that the standard assumes."""
    taken = constant("engine space temperature")
    for ident, place in van.system.places.items():
        if place.engine_space and place.hottest_c < taken.value:
            yield Breach(
                "engine-space-cooler",
                ident,
                ("places", ident, "hottest"),
                {"place": place.label},
                Amount(place.hottest_c, "°C"),
                Amount(taken.value, "°C"),
                cited=(taken,),
            )
