"""The van is neither larger than vehicles on the road may be nor too small to sleep in."""

from collections.abc import Iterator

from vandoc.analysis import Van
from vandoc.ground.data import constant
from vandoc.judgement.checks.amount import Amount
from vandoc.judgement.checks.rule import Breach, Phrase, review, rule


@rule(review("van-size-implausible"))
def van_size(van: Van) -> Iterator[Breach]:
    """The van is neither larger than vehicles on the road may be nor too small to sleep in."""
    size = van.system.van.size
    limits = {
        "length": (size.length_m, "shortest", "longest"),
        "width": (size.width_m, "narrowest", "widest"),
    }
    for key, (metres, smallest, largest) in limits.items():
        least, most = constant(f"{smallest} van"), constant(f"{largest} van")
        if not least.value <= metres <= most.value:
            limit = least if metres < least.value else most
            words = {"side": Phrase(f"van-{key}")}
            amounts = Amount(metres, "m"), Amount(limit.value, "m")
            yield Breach("van-size-implausible", "van", ("van", "size", key), words, *amounts, cited=(limit,))
