"""No more runs through a piece than it is rated for."""

from collections.abc import Iterator

from vandoc.analysis import Van, exceeds
from vandoc.judgement.checks.amount import Amount
from vandoc.judgement.checks.cures.pieces import or_more
from vandoc.judgement.checks.rule import Breach, fail, rule
from vandoc.judgement.checks.shared.ratings import Rated, contact, node_of, rated


@rule(fail("current-above-rating", or_more("rating_a", "A")))
def current(van: Van) -> Iterator[Breach]:
    """No more runs through a piece than it is rated for."""
    for ident, piece in rated(van):
        amps = Amount(_through(van, ident, piece), "A")
        words = {"name": van.name(ident)}
        if piece.rating_a is None:
            yield Breach("current-above-rating", ident, van.trail(ident), words, amps, unknown=True)
        elif exceeds(amps.value, piece.rating_a):
            limit = Amount(piece.rating_a, "A")
            yield Breach("current-above-rating", ident, van.trail(ident), words, amps, limit)


def _through(van: Van, ident: str, piece: Rated) -> float:
    """The most that runs through a piece: half of all that comes and goes at a bar. [A]"""
    joint = contact(van, ident)
    if joint is not None:
        return van.amps(joint)
    edges = van.network.at(node_of(ident, piece))
    states = van.sizing.states.values()
    return max(sum(abs(solution.amps[edge.id]) for edge in edges) / 2 for solution in states)
