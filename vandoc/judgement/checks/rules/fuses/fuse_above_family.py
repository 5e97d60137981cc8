"""The rated current of a fuse is a standard rating of its type."""

from collections.abc import Iterator

from vandoc.analysis import Van
from vandoc.ground.calc.fuse import FAMILIES
from vandoc.judgement.checks.amount import Amount
from vandoc.judgement.checks.cures import sizes
from vandoc.judgement.checks.rule import Breach, fail, rule
from vandoc.judgement.checks.shared.fuses import words_of


@rule(fail("fuse-above-family", sizes.standard_fuse), fail("fuse-not-standard", sizes.standard_fuse))
def standard_rating(van: Van) -> Iterator[Breach]:
    """The rated current of a fuse is a standard rating of its type."""
    for sized in van.sizing.fuses.values():
        family = FAMILIES[sized.link.family]
        known = {rating.amps_a: rating for rating in family.ratings}
        if sized.rating_a in known:
            continue
        nearest = min(family.ratings, key=lambda rating: abs(rating.amps_a - sized.rating_a))
        above = sized.rating_a > family.maximum_rating_a
        limit = Amount(family.maximum_rating_a if above else nearest.amps_a, "A")
        yield Breach(
            "fuse-above-family" if above else "fuse-not-standard",
            van.fuse_subject(sized.link),
            sized.link.trail,
            words_of(van, sized),
            Amount(sized.rating_a, "A"),
            limit,
            cited=(nearest,),
        )
