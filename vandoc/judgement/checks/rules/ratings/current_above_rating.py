"""The current through an item of equipment does not exceed its rated current."""

from collections.abc import Iterator
from math import fsum

from vandoc.analysis import Van, exceeds
from vandoc.judgement.checks.amount import Amount
from vandoc.judgement.checks.cures.pieces import or_more
from vandoc.judgement.checks.rule import Breach, fail, rule
from vandoc.judgement.checks.shared.ratings import contact, node_of, rated
from vandoc.model.traits import Carries


@rule(fail("current-above-rating", or_more("rating_a", "A")))
def current(van: Van) -> Iterator[Breach]:
    """The current through an item of equipment does not exceed its rated current."""
    for ident, carries in rated(van):
        amps = Amount(_through(van, ident, carries), "A")
        words = {"name": van.name(ident)}
        if carries.limit_a is None:
            yield Breach("current-above-rating", ident, van.trail(ident), words, amps, unknown=True)
        elif exceeds(amps.value, carries.limit_a):
            limit = Amount(carries.limit_a, "A")
            yield Breach("current-above-rating", ident, van.trail(ident), words, amps, limit)


def _through(van: Van, ident: str, carries: Carries) -> float:
    """Return the maximum current through an item; for a busbar, half the sum of all its currents. [A]"""
    joint = contact(van, ident)
    if joint is not None:
        return van.amps(joint)
    edges = van.network.at(node_of(ident, carries))
    states = van.sizing.states.values()
    return max(fsum(abs(solution.amps[edge.id]) for edge in edges) / 2 for solution in states)
