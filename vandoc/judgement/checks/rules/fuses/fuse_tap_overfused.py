"""A fuse tap holds no larger fuse than it is made for."""

from collections.abc import Iterator

from vandoc.analysis import Van, exceeds
from vandoc.judgement.checks.amount import Amount
from vandoc.judgement.checks.rule import Breach, fail, rule
from vandoc.model import equipment as eq


@rule(fail("fuse-tap-overfused"))
def overfused(van: Van) -> Iterator[Breach]:
    """A fuse tap holds no larger fuse than it is made for."""
    for ident, tap in van.of_kind(eq.FuseTap):
        value, words = Amount(tap.rating_a, "A"), {"tap": tap.name}
        if tap.largest_fuse_a is None:
            yield Breach("fuse-tap-overfused", ident, van.trail(ident), words, value, unknown=True)
        elif exceeds(tap.rating_a, tap.largest_fuse_a):
            limit = Amount(tap.largest_fuse_a, "A")
            yield Breach("fuse-tap-overfused", ident, van.trail(ident), words, value, limit)
