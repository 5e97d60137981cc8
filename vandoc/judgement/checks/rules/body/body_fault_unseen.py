"""A positive conductor that touches the vehicle body blows a fuse."""

from collections.abc import Iterator

from vandoc.analysis import Van
from vandoc.ground.calc.fuse import FAMILIES
from vandoc.ground.calc.fuse_time import sure_multiple
from vandoc.ground.data import constant
from vandoc.judgement.checks.amount import Amount
from vandoc.judgement.checks.cures import sizes
from vandoc.judgement.checks.rule import Breach, Word, fail, rule
from vandoc.physics.network.body_faults import BodyFault


@rule(fail("body-fault-unseen", sizes.next_smaller, sizes.next_thicker))
def unseen(van: Van) -> Iterator[Breach]:
    """A positive conductor that touches the vehicle body blows a fuse."""
    weakest: dict[str, BodyFault] = {}
    for fault in van.body_faults.faults:
        if fault.fuses and fault.opens is not True:
            last = fault.fuses[-1].link.id
            if last not in weakest or fault.smallest_a < weakest[last].smallest_a:
                weakest[last] = fault
    for fault in weakest.values():
        fuse = fault.fuses[-1]
        multiple = sure_multiple(fuse.link.family) or constant("largest fusing multiple").value
        words: dict[str, Word] = {
            "terminal": fault.terminal,
            "place": van.place_label(fault.terminal),
            "fuse": van.fuse_name(fuse.link),
            "family": FAMILIES[fuse.link.family].title,
            "rating": Amount(fuse.rating_a, "A"),
            "multiple": Amount(multiple),
        }
        yield Breach(
            "body-fault-unseen",
            van.fuse_subject(fuse.link),
            fuse.link.trail,
            words,
            Amount(fuse.smallest_a, "A"),
            Amount(multiple * fuse.rating_a, "A"),
            unknown=fault.opens is None,
        )
