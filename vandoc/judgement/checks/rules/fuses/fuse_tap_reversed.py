"""The live contact of the position feeds both fuses of a fuse tap."""

from collections.abc import Iterator

from vandoc.analysis import Van
from vandoc.judgement.checks.rule import Breach, fail, rule
from vandoc.model import equipment as eq


@rule(fail("fuse-tap-reversed"))
def reversed_tap(van: Van) -> Iterator[Breach]:
    """The live contact of the position feeds both fuses of a fuse tap."""
    for ident, tap in van.of_kind(eq.FuseTap):
        if not tap.fed_first:
            words, unknown = {"tap": tap.name}, tap.fed_first is None
            yield Breach("fuse-tap-reversed", ident, van.trail(ident), words, unknown=unknown)
