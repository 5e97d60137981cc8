"""The stated tightening torque of a terminal is plausible for its thread."""

from collections.abc import Iterator

from vandoc.analysis import Van, exceeds
from vandoc.ground.data import constant
from vandoc.judgement.checks.amount import Amount
from vandoc.judgement.checks.rule import Breach, Word, fail, note, rule
from vandoc.judgement.checks.shared.terminals import cables_of, torque_range
from vandoc.model.references import Path as Trail
from vandoc.physics.network.graph import owner_of


@rule(fail("torque-implausible"), note("torque-unusual"))
def torque(van: Van) -> Iterator[Breach]:
    """The stated tightening torque of a terminal is plausible for its thread."""
    times = constant("implausible torque").value
    for ident, stated_nm, trail in _stated(van):
        usual = torque_range(van, ident)
        if not exceeds(usual.low_nm, stated_nm) and not exceeds(stated_nm, usual.high_nm):
            continue
        wild = exceeds(usual.low_nm / times, stated_nm) or exceeds(stated_nm, usual.high_nm * times)
        thread = van.system.equipment[ident].stud
        words: dict[str, Word] = {
            "name": van.name(ident),
            "thread": thread or "",
            "low": Amount(usual.low_nm, "N·m"),
            "high": Amount(usual.high_nm, "N·m"),
        }
        limit = usual.high_nm if stated_nm > usual.high_nm else usual.low_nm
        yield Breach(
            "torque-implausible" if wild else "torque-unusual",
            ident,
            trail,
            words,
            Amount(stated_nm, "N·m"),
            Amount(limit, "N·m"),
            (usual,),
        )


def _stated(van: Van) -> Iterator[tuple[str, float, Trail]]:
    """Yield each item with a stated torque, of its own or of a cable that ends there."""
    thick = constant("torque stated from").value
    for ident, piece in van.system.equipment.items():
        studs = piece.stud is not None or any(c.area_mm2 >= thick for c in cables_of(van, ident))
        if piece.torque_nm is not None and studs:
            yield ident, piece.torque_nm, (*van.trail(ident), "torque")
    for cable in van.network.conductors.values():
        if cable.torque_nm is not None and not cable.vehicle:
            owners = dict.fromkeys(owner_of(end) for end in (cable.start, cable.end))
            for owner in owners:
                if owner in van.system.equipment and van.system.equipment[owner].torque_nm is None:
                    yield owner, cable.torque_nm, (*cable.trail, "torque")
