"""A chassis earth point is bare metal with a bolt of its own."""

from collections.abc import Iterator

from vandoc.analysis import Van
from vandoc.judgement.checks.cures.pieces import set_to
from vandoc.judgement.checks.rule import Breach, fail, rule
from vandoc.model import equipment as eq


@rule(fail("earth-point-not-clean", set_to("clean", True)))
def clean(van: Van) -> Iterator[Breach]:
    """A chassis earth point is bare metal with a bolt of its own."""
    for ident, piece in van.of_kind(eq.EarthPoint):
        if not piece.clean:
            words = {"name": van.name(ident)}
            unknown = piece.clean is None
            yield Breach("earth-point-not-clean", ident, van.trail(ident), words, unknown=unknown)
