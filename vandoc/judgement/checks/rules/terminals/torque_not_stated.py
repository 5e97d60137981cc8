"""A terminal for a large cable is a stud and has a stated tightening torque."""

from collections.abc import Iterator

from vandoc.analysis import Van
from vandoc.ground.calc.torque import charger_terminal_torque
from vandoc.ground.data import constant
from vandoc.judgement.checks.amount import Amount
from vandoc.judgement.checks.rule import Breach, Word, review, rule
from vandoc.judgement.checks.shared.terminals import cables_of


@rule(review("torque-not-stated"))
def torque(van: Van) -> Iterator[Breach]:
    """A terminal for a large cable is a stud and has a stated tightening torque."""
    thick = constant("torque stated from")
    usual = charger_terminal_torque()
    for ident, piece in van.system.equipment.items():
        cables = [
            sized
            for sized in cables_of(van, ident)
            if sized.conductor.torque_nm is None and sized.area_mm2 >= thick.value
        ]
        if piece.torque_nm is None and cables:
            largest = max(cables, key=lambda sized: sized.area_mm2)
            words: dict[str, Word] = {
                "name": van.name(ident),
                "cable": largest.conductor.id,
                "size": largest.size,
                "usual": Amount(usual.value, usual.unit),
            }
            yield Breach("torque-not-stated", ident, van.trail(ident), words, cited=(usual,))
