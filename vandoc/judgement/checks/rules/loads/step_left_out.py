"""An electric step is drawn in before the van drives off."""

from collections.abc import Iterator

from vandoc.analysis import Van
from vandoc.judgement.checks.rule import Breach, review, rule


@rule(review("step-left-out"))
def step_left_out(van: Van) -> Iterator[Breach]:
    """An electric step is drawn in before the van drives off."""
    for ident, load in van.system.loads.items():
        if load.step and load.drawn_in_by is None:
            yield Breach("step-left-out", ident, van.trail(ident), {"load": load.name}, unknown=True)
