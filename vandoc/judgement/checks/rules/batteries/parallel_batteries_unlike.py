"""Batteries in parallel have the same chemistry and capacity."""

from collections.abc import Iterator

from vandoc.analysis import Van
from vandoc.judgement.checks.amount import Amount
from vandoc.judgement.checks.cures import pieces
from vandoc.judgement.checks.rule import Breach, fail, rule
from vandoc.judgement.checks.shared.charging import banks


@rule(fail("parallel-batteries-unlike", pieces.like_its_neighbour))
def alike(van: Van) -> Iterator[Breach]:
    """Batteries in parallel have the same chemistry and capacity."""
    for bank in banks(van):
        first, *others = bank.idents
        for other in others:
            one, two = van.leisure[first], van.leisure[other]
            if (one.chemistry, one.capacity_ah) != (two.chemistry, two.capacity_ah):
                words = {
                    "battery": van.name(other),
                    "other": van.name(first),
                    "chemistry": two.traits.names.electrician,
                    "other_chemistry": one.traits.names.electrician,
                }
                found, wanted = Amount(two.capacity_ah, "Ah"), Amount(one.capacity_ah, "Ah")
                yield Breach("parallel-batteries-unlike", other, van.trail(other), words, found, wanted)
