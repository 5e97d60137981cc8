"""The file states all data for the energy budget; one finding lists everything that is missing."""

from collections.abc import Iterator

from vandoc.analysis import Van
from vandoc.judgement.checks.rule import Breach, Word, review, rule


@rule(review("energy-not-stated"))
def stated(van: Van) -> Iterator[Breach]:
    """The file states all data for the energy budget; one finding lists everything that is missing."""
    keys = list(van.energy.missing)
    for budget in van.energy.banks:
        keys += [".".join((*map(str, van.trail(ident)), "hours")) for ident in budget.unstated]
    if keys:
        trail = ("use",) if van.system.use else ("van",)
        words: dict[str, Word] = {"keys": ", ".join(dict.fromkeys(keys))}
        yield Breach("energy-not-stated", "use", trail, words, unknown=True)
