"""Every reading belongs to a measurement on the van's test sheet."""

from collections.abc import Iterator

from vandoc.analysis.van import Van
from vandoc.judgement.checks.rule import Breach, review, rule
from vandoc.model.records import subject_of


@rule(review("reading-not-on-sheet"))
def not_on_sheet(van: Van) -> Iterator[Breach]:
    """Every reading belongs to a measurement on the van's test sheet."""
    for measure, readings in van.taken.items():
        if measure not in van.measurements:
            trail = (*readings[-1].trail, "measure")
            yield Breach("reading-not-on-sheet", subject_of(measure), trail, {"measure": measure})
