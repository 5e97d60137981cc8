"""Every measurement on the test sheet has a reading."""

from collections.abc import Iterator

from vandoc.analysis.van import Van
from vandoc.judgement.checks.rule import Breach, Word, note, rule


@rule(note("not-measured"))
def unmeasured(van: Van) -> Iterator[Breach]:
    """Every measurement on the test sheet has a reading."""
    missing = [ident for ident in van.measurements if ident not in van.taken]
    if missing:
        words: dict[str, Word] = {
            "count": len(missing),
            "all": len(van.measurements),
            "first": missing[0],
        }
        yield Breach("not-measured", "commissioning", ("commissioning",), words)
