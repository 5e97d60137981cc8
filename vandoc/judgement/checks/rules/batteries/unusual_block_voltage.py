"""The nominal voltage of a battery agrees with its number of blocks in series."""

from collections.abc import Iterator

from vandoc.analysis import Van
from vandoc.judgement.checks.amount import Amount
from vandoc.judgement.checks.rule import Breach, Word, review, rule
from vandoc.model import equipment as eq


@rule(review("unusual-block-voltage"))
def blocks(van: Van) -> Iterator[Breach]:
    """The nominal voltage of a battery agrees with its number of blocks in series."""
    for ident, battery in van.of_kind(eq.Battery):
        nominal = battery.nominal_v or van.system.van.nominal_v
        block = nominal / battery.series
        made = battery.traits.blocks_v
        if made and min(abs(block - volts) for volts in made) > 0.05:
            words: dict[str, Word] = {
                "battery": van.name(ident),
                "chemistry": battery.traits.names.electrician,
                "nominal": Amount(nominal, "V"),
                "series": battery.series,
            }
            yield Breach("unusual-block-voltage", ident, van.trail(ident), words, Amount(block, "V"))
