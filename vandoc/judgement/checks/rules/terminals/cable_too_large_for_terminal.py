"""A cable fits the terminals at its ends."""

from collections.abc import Iterator

from vandoc.analysis import Van, exceeds
from vandoc.ground.data import constant
from vandoc.judgement.checks.amount import Amount
from vandoc.judgement.checks.rule import Breach, Word, fail, review, rule
from vandoc.judgement.checks.shared.capacity import ours
from vandoc.judgement.checks.shared.terminals import cables_of
from vandoc.physics.network.graph import owner_of
from vandoc.physics.sizing import SizedConductor
from vandoc.physics.sizing.terminals import SIGNALS, size_at


@rule(fail("cable-too-large-for-terminal"), review("cable-may-not-fit"))
def fits(van: Van) -> Iterator[Breach]:
    """A cable fits the terminals at its ends."""
    for sized in ours(van):
        conductor = sized.conductor
        for end in (conductor.start, conductor.end):
            known = size_at(van.system, end)
            if known is None or not exceeds(sized.area_mm2, known.usual_mm2):
                continue
            over = exceeds(sized.area_mm2, known.most_mm2)
            words: dict[str, Word] = {
                "cable": conductor.id,
                "terminal": end,
                "name": van.name(owner_of(end)),
            }
            yield Breach(
                "cable-too-large-for-terminal" if over else "cable-may-not-fit",
                van.subject(conductor),
                conductor.trail,
                words,
                Amount(sized.area_mm2, "mm²"),
                Amount(known.most_mm2 if over else known.usual_mm2, "mm²"),
                (known,),
            )
    yield from _unknown(van)


def _unknown(van: Van) -> Iterator[Breach]:
    """Yield each item with a large cable of whose terminals nothing is stated, except posts."""
    asked = constant("terminal size stated from").value
    posts = {source.owner for source in van.network.sources if source.kind in ("battery", "alternator")}
    for ident in van.system.equipment:
        cables = [] if ident in posts else cables_of(van, ident)
        large = [sized for sized in cables if sized.area_mm2 > asked and _is_unknown(van, ident, sized)]
        if large:
            largest = max(large, key=lambda sized: sized.area_mm2)
            words: dict[str, Word] = {"cable": largest.conductor.id, "name": van.name(ident)}
            value = Amount(largest.area_mm2, "mm²")
            yield Breach("cable-may-not-fit", ident, van.trail(ident), words, value, unknown=True)


def _is_unknown(van: Van, ident: str, sized: SizedConductor) -> bool:
    ends = (sized.conductor.start, sized.conductor.end)
    mine = [end for end in ends if owner_of(end) == ident and not end.endswith(SIGNALS)]
    return any(size_at(van.system, end) is None for end in mine)
