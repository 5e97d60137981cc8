"""A fuse carries its continuous current and the starting current."""

from collections.abc import Iterator

from vandoc.analysis import Van, exceeds
from vandoc.ground.data import constant
from vandoc.judgement.checks.amount import Amount
from vandoc.judgement.checks.cures import sizes
from vandoc.judgement.checks.rule import Breach, fail, rule
from vandoc.judgement.checks.shared.fuses import words_of
from vandoc.physics import limits


@rule(
    fail("no-fuse-fits", sizes.larger_fuse),
    fail("fuse-below-current", sizes.larger_fuse),
    fail("fuse-above-continuous", sizes.larger_fuse),
    fail("fuse-below-start", sizes.fuse_for_start),
)
def current(van: Van) -> Iterator[Breach]:
    """A fuse carries its continuous current and the starting current."""
    fraction, multiple = limits.fuse_load(van.system), constant("start-up multiple")
    for sized in van.sizing.fuses.values():
        subject, trail, words = van.fuse_subject(sized.link), sized.link.trail, words_of(van, sized)
        rating = Amount(sized.rating_a, "A")
        share = fraction.value * sized.ambient_factor
        lasting = Amount(share * sized.rating_a, "A")
        starting = Amount(multiple.value * sized.rating_a, "A")
        words |= {
            "fraction": Amount(100 * fraction.value, "%"),
            "ambient": Amount(sized.ambient_factor),
            "ambient_c": Amount(sized.ambient_c, "°C"),
            "multiple": Amount(multiple.value),
        }
        if not sized.fits:
            yield Breach("no-fuse-fits", subject, trail, words, Amount(sized.design_a, "A"), rating)
        elif exceeds(sized.design_a, sized.rating_a):
            yield Breach("fuse-below-current", subject, trail, words, Amount(sized.design_a, "A"), rating)
        elif exceeds(sized.continuous_a, lasting.value):
            found = Amount(sized.continuous_a, "A")
            yield Breach("fuse-above-continuous", subject, trail, words, found, lasting, cited=(fraction,))
        if exceeds(sized.start_a, starting.value):
            found = Amount(sized.start_a, "A")
            yield Breach("fuse-below-start", subject, trail, words, found, starting, cited=(multiple,))
