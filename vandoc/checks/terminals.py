"""Whether stud terminals are tightened to a stated torque."""

from collections.abc import Iterator

from vandoc.analysis import Van
from vandoc.calc.torque import charger_terminal_torque
from vandoc.checks.amount import Amount
from vandoc.checks.rule import Breach, Word, rule
from vandoc.data import constant
from vandoc.model import equipment as eq
from vandoc.sizing import SizedConductor


@rule("torque-not-stated")
def torque(van: Van) -> Iterator[Breach]:
    """A terminal that takes a thick cable is a stud, and a stud has a torque."""
    thick = constant("torque stated from")
    usual = charger_terminal_torque()
    for ident, piece in van.system.equipment.items():
        cables = [
            sized
            for sized in _cables(van, ident)
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


def _cables(van: Van, ident: str) -> list[SizedConductor]:
    cables = van.cables_of(ident)
    return [van.sizing.conductors[cable.id] for cable in cables if not cable.vehicle]


@rule("torque-unusual")
def unusual(van: Van) -> Iterator[Breach]:
    """A charger's torque is far from what is usual for terminals of its size."""
    usual, times = charger_terminal_torque(), constant("unusual torque").value
    thick = constant("torque stated from").value
    for ident, piece in van.of_kind(eq.Charger):
        found = piece.torque_nm
        studs = any(sized.area_mm2 >= thick for sized in _cables(van, ident))
        if found is not None and studs and not usual.value / times <= found <= usual.value * times:
            trail = (*van.trail(ident), "torque")
            words = {"charger": van.name(ident)}
            amounts = Amount(found, "N·m"), Amount(usual.value, "N·m")
            yield Breach("torque-unusual", ident, trail, words, *amounts, (usual,))
