"""A terminal that a battery feeds without a fuse has a cover."""

from collections.abc import Iterator

from vandoc.analysis import Van
from vandoc.judgement.checks.cures.pieces import set_to
from vandoc.judgement.checks.rule import Breach, fail, rule
from vandoc.physics.network.graph import FuseLink, owner_of


@rule(fail("terminal-not-covered", set_to("covered", True)))
def covers(van: Van) -> Iterator[Breach]:
    """A terminal that a battery feeds without a fuse has a cover (leisure batteries: another rule)."""
    posts = [battery.plus for battery in van.network.batteries()]
    bare = van.network.flood(posts, lambda edge: not isinstance(edge, FuseLink)) - van.network.negative
    ends = [end for c in van.network.conductors.values() if not c.vehicle for end in (c.start, c.end)]
    for ident in dict.fromkeys(owner_of(end) for end in ends if end in bare):
        piece = van.system.equipment.get(ident)
        if piece is not None and ident not in van.leisure and not piece.covered:
            words = {"name": van.name(ident)}
            unknown = piece.covered is None
            yield Breach("terminal-not-covered", ident, van.trail(ident), words, unknown=unknown)
