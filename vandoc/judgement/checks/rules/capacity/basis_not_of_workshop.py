"""The standard that a van file names is one of those by which its workshop works."""

from collections.abc import Iterator

from vandoc.analysis import Van
from vandoc.judgement.checks.rule import Breach, fail, rule


@rule(fail("basis-not-of-workshop"))
def basis(van: Van) -> Iterator[Breach]:
    """The standard that a van file names is one of those by which its workshop works."""
    named, known = van.system.van.basis, van.system.house.bases
    if named is not None and known and named not in known:
        words = {"basis": named, "bases": ", ".join(dict.fromkeys(known))}
        yield Breach("basis-not-of-workshop", "van", ("van", "basis"), words)
