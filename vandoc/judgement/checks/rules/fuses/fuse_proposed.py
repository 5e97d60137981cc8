"""A fuse rating that the file leaves open is proposed and reported."""

from collections.abc import Iterator

from vandoc.analysis import Van
from vandoc.ground.data import constant
from vandoc.judgement.checks.amount import Amount
from vandoc.judgement.checks.rule import Breach, note, rule
from vandoc.judgement.checks.shared.fuses import words_of
from vandoc.physics import limits


@rule(note("fuse-proposed"))
def proposed(van: Van) -> Iterator[Breach]:
    """A fuse rating that the file leaves open is proposed and reported."""
    fraction = limits.fuse_load(van.system)
    for sized in van.sizing.fuses.values():
        if sized.proposed and sized.fits:
            words = words_of(van, sized) | {
                "design": Amount(sized.design_a, "A"),
                "lasting": Amount(sized.continuous_a, "A"),
                "start": Amount(sized.start_a, "A"),
                "fraction": Amount(100 * fraction.value, "%"),
                "multiple": Amount(constant("start-up multiple").value),
            }
            yield Breach(
                "fuse-proposed",
                van.fuse_subject(sized.link),
                sized.link.trail,
                words,
                Amount(sized.rating_a, "A"),
                cited=(fraction,),
            )
