"""A fuse carries the current of every device that starts behind it."""

from collections.abc import Iterator
from dataclasses import dataclass

from vandoc.analysis import Van, exceeds
from vandoc.ground.calc.fuse_time import holding_multiple, opening_time
from vandoc.ground.data import constant
from vandoc.judgement.checks.amount import Amount
from vandoc.judgement.checks.cures import sizes
from vandoc.judgement.checks.rule import Breach, fail, review, rule
from vandoc.judgement.checks.shared.fuses import words_of
from vandoc.physics.network.operating import SolvedState
from vandoc.physics.network.starts import Start
from vandoc.physics.sizing import SizedFuse

LONG_S = 5.0  # a start that lasts longer is no short peak; own choice


@dataclass(frozen=True)
class _Passing:
    """The start that loads a fuse most."""

    start: Start
    amps: float
    excess: float


@rule(fail("fuse-blows-at-start", sizes.larger_fuse), review("fuse-may-blow-at-start"))
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
            most = _most_a(sized, start.time_s)
            if exceeds(amps, most) and _through(start, amps):
                yield _Passing(start, amps, amps / most)


def _through(start: Start, amps: float) -> bool:
    """Whether most of the starting current passes, and not the current of other loads alone."""
    return amps > start.amps_a / 2


def _most_a(sized: SizedFuse, time_s: float) -> float:
    """Return the current that a fuse carries for a time: longer starts than a peak need a gate. [A]"""
    family, rating = sized.link.family, sized.rating_a
    brief = constant("start-up multiple").value * rating
    if not exceeds(time_s, LONG_S):
        return brief
    held = holding_multiple(family) * rating
    time = opening_time(family, rating, brief)
    return brief if time is not None and time.shortest_s >= time_s else held
