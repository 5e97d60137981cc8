"""The van file is identical to its newest archived revision."""

from collections.abc import Iterator

from vandoc.analysis import Van
from vandoc.judgement.checks.rule import Breach, note, rule


@rule(note("revision-changed"), note("revision-not-archived"))
def archived(van: Van) -> Iterator[Breach]:
    """The van file is identical to its newest archived revision."""
    if van.revisions is None:
        return
    trail = ("van", "revision")
    if van.mark is None:
        yield Breach("revision-not-archived", "van", trail, {"number": van.system.van.revision})
    elif van.changed:
        yield Breach("revision-changed", "van", trail, {"mark": van.mark})
