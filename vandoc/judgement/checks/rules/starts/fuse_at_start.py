"""A fuse carries the current of every device that starts behind it."""

from collections.abc import Iterator
from dataclasses import dataclass

from vandoc.analysis import Van, exceeds
from vandoc.ground.calc.starting import carried_at_start_a
from vandoc.ground.data import constant
from vandoc.judgement.checks.amount import Amount
from vandoc.judgement.checks.cures import sizes
from vandoc.judgement.checks.rule import Breach, fail, review, rule
from vandoc.judgement.checks.shared.fuses import words_of
from vandoc.physics.network.operating import SolvedState
from vandoc.physics.network.starts import Start
from vandoc.physics.sizing import SizedFuse
from vandoc.physics.sizing.starting import passes


@dataclass(frozen=True)
class _Passing:
    """The start that loads a fuse most."""

    start: Start
    amps: float
    excess: float


@rule(fail("fuse-blows-at-start", sizes.fuse_that_lasts_a_start), review("fuse-may-blow-at-start"))
def fuse_at_start(van: Van) -> Iterator[Breach]:
    """A fuse carries the current of every device that starts behind it."""
    for sized in van.sizing.fuses.values():
        peak = constant("start-up multiple").value * sized.rating_a
        if exceeds(sized.design_a, sized.rating_a) or exceeds(sized.start_a, peak):
            continue  # said of its own currents
        worst = max(_passing(van, sized), key=lambda found: found.excess, default=None)
        if worst is None:
            continue
        words = words_of(van, sized) | {
            "name": van.name(worst.start.owner),
            "time": Amount(worst.start.time_s, "s"),
        }
        slug = "fuse-blows-at-start" if worst.start.stated else "fuse-may-blow-at-start"
        value, limit = Amount(worst.amps, "A"), Amount(worst.amps / worst.excess, "A")
        yield Breach(slug, van.fuse_subject(sized.link), sized.link.trail, words, value, limit)


def _passing(van: Van, sized: SizedFuse) -> Iterator[_Passing]:
    for start, found in van.starts:
        if isinstance(found, SolvedState):
            amps = abs(found.amps[sized.link.id])
            most = carried_at_start_a(sized.link.family, sized.rating_a, start.time_s)
            if exceeds(amps, most) and passes(start, amps):
                yield _Passing(start, amps, amps / most)
