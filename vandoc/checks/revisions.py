"""Whether what is judged is what was archived."""

from collections.abc import Iterator

from vandoc.checks.case import Case
from vandoc.checks.rule import Breach, rule


@rule("revision-changed", "revision-not-archived")
def archived(case: Case) -> Iterator[Breach]:
    """The van file is as its newest archived revision has it."""
    if case.recorded is None:
        return
    trail = ("van", "revision")
    if case.recorded.mark is None:
        yield Breach("revision-not-archived", "van", trail, {"number": case.system.van.revision})
    elif case.recorded.changed:
        yield Breach("revision-changed", "van", trail, {"mark": case.recorded.mark})
