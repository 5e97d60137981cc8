"""The negative of each leisure battery is bonded to the vehicle body."""

from collections.abc import Iterator

from vandoc.analysis import Van
from vandoc.judgement.checks.rule import Breach, review, rule


@rule(review("body-not-bonded"))
def bonded(van: Van) -> Iterator[Breach]:
    """The negative of each leisure battery is bonded to the vehicle body."""
    for ident in van.body_faults.unbonded:
        yield Breach("body-not-bonded", ident, van.trail(ident), {"battery": van.name(ident)})
