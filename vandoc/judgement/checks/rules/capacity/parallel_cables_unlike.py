"""Cables in parallel are alike, so that they share the current evenly."""

from collections.abc import Iterator

from vandoc.analysis import Van
from vandoc.ground.data import constant
from vandoc.judgement.checks.amount import Amount
from vandoc.judgement.checks.cures import sizes
from vandoc.judgement.checks.rule import Breach, fail, rule
from vandoc.judgement.checks.shared.capacity import ours
from vandoc.physics.sizing import SizedConductor


@rule(fail("parallel-cables-unlike", sizes.like_its_twin))
def alike(van: Van) -> Iterator[Breach]:
    """Cables in parallel are alike, so that they share the current evenly."""
    groups: dict[frozenset[str], list[SizedConductor]] = {}
    for sized in ours(van):
        groups.setdefault(frozenset((sized.conductor.start, sized.conductor.end)), []).append(sized)
    for group in groups.values():
        first, *others = sorted(group, key=lambda sized: sized.ohm)
        for other in others:
            if _unlike(first, other):
                words = {"cable": other.conductor.id, "other": first.conductor.id}
                share = first.ohm / (first.ohm + other.ohm) if other.ohm else 0.0
                value, limit = Amount(100 * (1 - share), "%"), Amount(50, "%")
                subject = van.subject(other.conductor)
                yield Breach("parallel-cables-unlike", subject, other.conductor.trail, words, value, limit)


def _unlike(first: SizedConductor, other: SizedConductor) -> bool:
    one, two = first.conductor, other.conductor
    longest = max(one.length_m, two.length_m)
    lengths = abs(one.length_m - two.length_m) > constant("difference of parallel cables").value * longest
    laid_one = (first.area_mm2, one.insulation_c, one.bunched, one.conduit, one.buried_m)
    laid_two = (other.area_mm2, two.insulation_c, two.bunched, two.conduit, two.buried_m)
    return lengths or laid_one != laid_two
