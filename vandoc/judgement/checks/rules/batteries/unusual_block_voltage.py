"""The nominal voltage of a battery agrees with its number of blocks in series."""

from collections.abc import Iterator
from dataclasses import dataclass

from vandoc.analysis import Van
from vandoc.ground.data import rows
from vandoc.judgement.checks.amount import Amount
from vandoc.judgement.checks.rule import Breach, Word, review, rule
from vandoc.model import equipment as eq


@dataclass(frozen=True)
class _BlockRow:
    chemistry: str
    block_v: float


@rule(review("unusual-block-voltage"))
def blocks(van: Van) -> Iterator[Breach]:
    """The nominal voltage of a battery agrees with its number of blocks in series."""
    for ident, battery in van.of_kind(eq.Battery):
        nominal = battery.nominal_v or van.system.van.nominal_v
        block = nominal / battery.series
        made = [row.block_v for row in rows("battery_block", _BlockRow) if row.chemistry == battery.chemistry]
        if min(abs(block - volts) for volts in made) > 0.05:
            words: dict[str, Word] = {
                "battery": van.name(ident),
                "chemistry": battery.chemistry,
                "nominal": Amount(nominal, "V"),
                "series": battery.series,
            }
            yield Breach("unusual-block-voltage", ident, van.trail(ident), words, Amount(block, "V"))
