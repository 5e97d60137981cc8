"""The minimum short-circuit current at the end of a circuit blows its fuse."""

from collections.abc import Iterator

from vandoc.analysis import Van
from vandoc.ground.calc.fuse_time import sure_multiple
from vandoc.judgement.checks.amount import Amount
from vandoc.judgement.checks.cures import sizes
from vandoc.judgement.checks.rule import Breach, fail, rule


@rule(fail("short-circuit-unseen", sizes.next_smaller, sizes.next_thicker))
def unseen(van: Van) -> Iterator[Breach]:
    """The minimum short-circuit current at the end of a circuit blows its fuse."""
    for end in van.faults.at_end.values():
        if end.verdict != "unseen":
            continue
        last = end.fuses[-1]
        multiple = sure_multiple(last.link.family) or 1.0
        yield Breach(
            "short-circuit-unseen",
            end.owner,
            van.wiring_trail(end.owner),
            {
                "name": van.name(end.owner),
                "fuse": van.fuse_name(last.link),
                "rating": Amount(last.rating_a, "A"),
                "multiple": Amount(multiple),
            },
            Amount(last.smallest_a, "A"),
            Amount(multiple * last.rating_a, "A"),
        )
