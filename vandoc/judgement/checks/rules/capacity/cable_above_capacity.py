"""The current in a cable does not exceed its capacity, corrected for ambient temperature and grouping."""

from collections.abc import Iterator

from vandoc.analysis import Van, exceeds
from vandoc.judgement.checks.amount import Amount
from vandoc.judgement.checks.cures import sizes
from vandoc.judgement.checks.rule import Breach, Word, fail, rule
from vandoc.judgement.checks.shared.capacity import capacity_steps, is_too_hot, ours


@rule(fail("cable-above-capacity", sizes.stronger), fail("no-size-fits", sizes.stronger))
def capacity(van: Van) -> Iterator[Breach]:
    """The current in a cable does not exceed its capacity, corrected for ambient temperature and grouping."""
    for sized in ours(van):
        conductor = sized.conductor
        if conductor.signal or is_too_hot(sized):
            continue
        words: dict[str, Word] = {
            "cable": conductor.id,
            "size": sized.size,
            "insulation": Amount(conductor.insulation_c, "°C"),
            "bunched": conductor.bunched,
            "ambient_c": Amount(sized.ambient_c, "°C"),
        }
        subject, design = van.subject(conductor), Amount(sized.design_a, "A")
        if not sized.capacities:
            yield Breach("cable-above-capacity", subject, conductor.trail, words, value=design, unknown=True)
        elif sized.decided == "none fits" or exceeds(sized.design_a, sized.capacity_a):
            yield Breach(
                "no-size-fits" if sized.decided == "none fits" else "cable-above-capacity",
                subject,
                conductor.trail,
                words,
                design,
                Amount(sized.capacity_a, "A"),
                cited=(sized.capacities[0],),
                steps=capacity_steps(sized),
            )
