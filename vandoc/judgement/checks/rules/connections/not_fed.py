"""Every load is connected to a source and has a return."""

from collections.abc import Iterator

from vandoc.analysis import Van
from vandoc.judgement.checks.rule import Breach, fail, rule


@rule(fail("not-fed"))
def not_fed(van: Van) -> Iterator[Breach]:
    """Every load is connected to a source and has a return."""
    for owner in dict.fromkeys(van.sizing.unfed):
        yield Breach("not-fed", owner, van.wiring_trail(owner), {"name": van.name(owner)})
