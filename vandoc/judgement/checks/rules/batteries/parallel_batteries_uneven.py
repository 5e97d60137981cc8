"""Batteries in parallel share the current equally: the bank is connected at opposite corners."""

from collections.abc import Iterator
from math import fsum

from vandoc.analysis import Van, exceeds
from vandoc.ground.data import constant
from vandoc.judgement.checks.amount import Amount
from vandoc.judgement.checks.rule import Breach, Word, fail, rule
from vandoc.judgement.checks.shared.batteries import leaves
from vandoc.judgement.checks.shared.charging import banks


@rule(fail("parallel-batteries-uneven"))
def even(van: Van) -> Iterator[Breach]:
    """Batteries in parallel share the current equally: the bank is connected at opposite corners."""
    allowed = constant("uneven sharing")
    for bank in banks(van):
        if len(bank.idents) < 2:
            continue
        amps = {ident: _shares(van, ident) for ident in bank.idents}
        most = max(amps, key=lambda ident: amps[ident])
        least = min(amps, key=lambda ident: amps[ident])
        mean = fsum(amps.values()) / len(amps)
        apart = 100 * (amps[most] - amps[least]) / mean if mean > 0 else 0.0
        if exceeds(apart, 100 * allowed.value):
            words: dict[str, Word] = {
                "battery": van.name(most),
                "amps": Amount(amps[most], "A"),
                "other": van.name(least),
                "least": Amount(amps[least], "A"),
                "mean": Amount(mean, "A"),
            }
            found, limit = Amount(apart, "%"), Amount(100 * allowed.value, "%")
            trail = van.trail(most)
            yield Breach("parallel-batteries-uneven", most, trail, words, found, limit, (allowed,))


def _shares(van: Van, ident: str) -> float:
    """Return the maximum current of each battery over all operating states. [A]"""
    return max(abs(leaves(van, ident, state)) for state in van.sizing.states)
