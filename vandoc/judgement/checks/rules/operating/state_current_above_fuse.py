"""The fuse current in each operating state is within its rating, even above the design current."""

from collections.abc import Iterator

from vandoc.analysis import Van, exceeds
from vandoc.ground.calc.fuse_time import holding_multiple
from vandoc.judgement.checks.amount import Amount
from vandoc.judgement.checks.cures import sizes
from vandoc.judgement.checks.rule import Breach, fail, rule
from vandoc.judgement.checks.shared.operating import said


@rule(fail("state-current-above-fuse", sizes.larger_fuse))
def fused(van: Van) -> Iterator[Breach]:
    """The fuse current in each operating state is within its rating, even above the design current."""
    for sized in van.sizing.fuses.values():
        solved = van.heaviest_state(sized.link.id)
        if solved is None or exceeds(sized.design_a, sized.rating_a):
            continue  # said of its design current
        multiple = holding_multiple(sized.link.family)
        if exceeds(abs(solved.amps[sized.link.id]), multiple * sized.rating_a):
            yield Breach(
                "state-current-above-fuse",
                van.fuse_subject(sized.link),
                sized.link.trail,
                {
                    "fuse": van.fuse_name(sized.link),
                    "rating": Amount(sized.rating_a, "A"),
                    "multiple": Amount(multiple),
                    "state": said(solved.state),
                },
                Amount(abs(solved.amps[sized.link.id]), "A"),
                Amount(multiple * sized.rating_a, "A"),
            )
