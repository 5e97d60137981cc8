"""The return of a fault to the body carries what limited sources feed into it for hours."""

from collections.abc import Iterator

from vandoc.analysis import Van, exceeds
from vandoc.ground.data import constant
from vandoc.judgement.checks.amount import Amount
from vandoc.judgement.checks.cures import sizes
from vandoc.judgement.checks.rule import Breach, Word, fail, rule
from vandoc.judgement.checks.shared.capacity import is_too_hot


@rule(fail("return-below-panels", sizes.stronger), fail("return-below-chargers", sizes.stronger))
def return_below_sources(van: Van) -> Iterator[Breach]:
    """The return of a fault to the body carries what limited sources feed into it for hours."""
    margin = constant("photovoltaic current margin")
    for feeding in van.body_feeding:
        sized = van.sizing.conductors[feeding.cable.id]
        if not exceeds(feeding.amps_a, feeding.capacity_a) or not sized.capacities or is_too_hot(sized):
            continue
        if exceeds(sized.design_a, sized.capacity_a):
            continue  # said of its capacity
        words: dict[str, Word] = {
            "cable": feeding.cable.id,
            "size": sized.size,
            "terminal": feeding.terminal,
            "place": van.place_label(feeding.terminal),
            "sources": van.names(feeding.sources),
            "margin": Amount(margin.value),
        }
        yield Breach(
            "return-below-panels" if feeding.panels else "return-below-chargers",
            van.subject(feeding.cable),
            feeding.cable.trail,
            words,
            Amount(feeding.amps_a, "A"),
            Amount(feeding.capacity_a, "A"),
            cited=(margin,) if feeding.panels else (),
        )
