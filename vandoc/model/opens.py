"""The operating time of a fuse, as its manufacturer states it."""

from vandoc.model.base import Duration, PositiveCurrent, StrictModel
from vandoc.model.traits import MakersFuse


class Opens(StrictModel):
    """A current of the manufacturer's time-current curve, and the longest operating time there.

    The time falls as the current rises, so it holds for every higher current too.
    """

    at_a: PositiveCurrent
    within_h: Duration


def by_maker(opens: Opens | None, conditional_a: float | None = None) -> MakersFuse:
    """Return what the manufacturer of a fuse states of it."""
    if opens is None:
        return MakersFuse(conditional_a)
    return MakersFuse(conditional_a, opens.at_a, opens.within_h * 3600)
