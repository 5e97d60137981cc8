"""The tightening torque of a charger's terminals is in the usual range for their size."""

from collections.abc import Iterator

from vandoc.analysis import Van
from vandoc.ground.calc.torque import charger_terminal_torque
from vandoc.ground.data import constant
from vandoc.judgement.checks.amount import Amount
from vandoc.judgement.checks.rule import Breach, note, rule
from vandoc.judgement.checks.shared.terminals import cables_of
from vandoc.model import equipment as eq


@rule(note("torque-unusual"))
def unusual(van: Van) -> Iterator[Breach]:
    """The tightening torque of a charger's terminals is in the usual range for their size."""
    usual, times = charger_terminal_torque(), constant("unusual torque").value
    thick = constant("torque stated from").value
    for ident, piece in van.of_kind(eq.Charger):
        found = piece.torque_nm
        studs = any(sized.area_mm2 >= thick for sized in cables_of(van, ident))
        if found is not None and studs and not usual.value / times <= found <= usual.value * times:
            trail = (*van.trail(ident), "torque")
            words = {"charger": van.name(ident)}
            amounts = Amount(found, "N·m"), Amount(usual.value, "N·m")
            yield Breach("torque-unusual", ident, trail, words, *amounts, (usual,))
