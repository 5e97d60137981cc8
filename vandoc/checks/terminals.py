"""Whether stud terminals are tightened to a stated torque."""

from collections.abc import Iterator

from vandoc.calc.torque import charger_terminal_torque
from vandoc.checks.amount import Amount
from vandoc.checks.case import Case
from vandoc.checks.rule import Breach, Word, rule
from vandoc.data import constant
from vandoc.model import equipment as eq
from vandoc.sizing import SizedConductor


@rule("torque-not-stated")
def torque(case: Case) -> Iterator[Breach]:
    """A terminal that takes a thick cable is a stud, and a stud has a torque."""
    thick = constant("torque stated from")
    usual = charger_terminal_torque()
    for ident, piece in case.system.equipment.items():
        cables = [
            sized
            for sized in _cables(case, ident)
            if sized.conductor.torque_nm is None and sized.area_mm2 >= thick.value
        ]
        if piece.torque_nm is None and cables:
            largest = max(cables, key=lambda sized: sized.area_mm2)
            words: dict[str, Word] = {
                "name": case.name(ident),
                "cable": largest.conductor.id,
                "size": largest.size,
                "usual": Amount(usual.value, usual.unit),
            }
            yield Breach("torque-not-stated", ident, case.trail(ident), words, cited=(usual,))


def _cables(case: Case, ident: str) -> list[SizedConductor]:
    cables = case.cables_of(ident)
    return [case.sizing.conductors[cable.id] for cable in cables if not cable.vehicle]


@rule("torque-unusual")
def unusual(case: Case) -> Iterator[Breach]:
    """A charger's torque is far from what is usual for terminals of its size."""
    usual, times = charger_terminal_torque(), constant("unusual torque").value
    thick = constant("torque stated from").value
    for ident, piece in case.of_kind(eq.Charger):
        found = piece.torque_nm
        studs = any(sized.area_mm2 >= thick for sized in _cables(case, ident))
        if found is not None and studs and not usual.value / times <= found <= usual.value * times:
            trail = (*case.trail(ident), "torque")
            words = {"charger": case.name(ident)}
            amounts = Amount(found, "N·m"), Amount(usual.value, "N·m")
            yield Breach("torque-unusual", ident, trail, words, *amounts, (usual,))
