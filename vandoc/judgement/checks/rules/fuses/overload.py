"""A fuse opens before a lasting overload damages its cable: I₂ ≤ 1.45 · I_z."""

from collections.abc import Iterator
from dataclasses import dataclass

from vandoc.analysis import Van, exceeds
from vandoc.ground.calc.fuse import FAMILIES
from vandoc.ground.calc.fuse_time import ConventionalCurrent
from vandoc.ground.data import constant
from vandoc.judgement.checks.amount import Amount
from vandoc.judgement.checks.cures import sizes
from vandoc.judgement.checks.rule import Breach, Phrase, Word, fail, review, rule
from vandoc.judgement.checks.shared.capacity import is_too_hot
from vandoc.physics.network.graph import FuseLink
from vandoc.physics.sizing import SizedConductor
from vandoc.physics.sizing.overload import ProtectingFuses, conventional, operates_at


@dataclass(frozen=True)
class _Overload:
    """A cable that the fuse may leave overloaded; the multiple is the conventional current, if known."""

    link: FuseLink
    sized: SizedConductor
    current: ConventionalCurrent | None
    operates_a: float

    @property
    def ratio(self) -> float:
        return self.operates_a / self.sized.capacity_a


@rule(fail("fuse-above-overload", sizes.smaller_fuse, sizes.stronger), review("fuse-may-overload"))
def overload(van: Van) -> Iterator[Breach]:
    """A fuse opens before a lasting overload damages its cable: I₂ ≤ 1.45 · I_z."""
    worst: dict[str, _Overload] = {}
    for found in _found(van):
        owner = found.link.owner
        if owner not in worst or found.ratio > worst[owner].ratio:
            worst[owner] = found
    for found in worst.values():
        yield _breach(van, found)


def _found(van: Van) -> Iterator[_Overload]:
    most, fuses = constant("overload multiple").value, ProtectingFuses(van.network, van.ratings)
    for sized in van.supplies:
        conductor = sized.conductor
        if conductor.signal or not sized.capacities or is_too_hot(sized):
            continue
        link = fuses.of(conductor, sized.needed_a)
        if link is None or exceeds(van.ratings[link.id], sized.capacity_a):
            continue  # without a fuse, or reported as a fuse above the capacity
        current = conventional(van.system, link)
        operates = operates_at(current) * van.ratings[link.id]
        if exceeds(operates, most * sized.capacity_a):
            yield _Overload(link, sized, current, operates)


def _breach(van: Van, found: _Overload) -> Breach:
    conductor, current = found.sized.conductor, found.current
    rating = van.ratings[found.link.id]
    words: dict[str, Word] = {
        "cable": conductor.id,
        "size": found.sized.size,
        "fuse": van.fuse_name(found.link),
        "family": FAMILIES[found.link.family].title,
        "rating": Amount(rating, "A"),
        "capacity": Amount(found.sized.capacity_a, "A"),
        "multiple": Amount(found.operates_a / rating),
    }
    if current is None:
        cited: tuple[ConventionalCurrent | Phrase, ...] = ()
    else:
        cited = (current,) if current.source else (Phrase("maker"),)
    limit = constant("overload multiple").value * found.sized.capacity_a
    return Breach(
        "fuse-may-overload" if current is None or current.from_memory else "fuse-above-overload",
        van.subject(conductor),
        conductor.trail,
        words,
        Amount(found.operates_a, "A"),
        Amount(limit, "A"),
        cited,
        unknown=current is None,
    )
