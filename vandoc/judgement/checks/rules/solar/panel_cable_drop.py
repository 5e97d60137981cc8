"""The cables between panels and controller lose little of the panels' power."""

from collections.abc import Iterator

from vandoc.analysis import Van, exceeds
from vandoc.judgement.checks.amount import Amount
from vandoc.judgement.checks.rule import Breach, Word, review, rule
from vandoc.judgement.checks.shared.solar import Plant, plants, string_of
from vandoc.model import equipment as eq
from vandoc.physics import limits
from vandoc.physics.network.operating import SolvedState
from vandoc.physics.network.states import OperatingState


@rule(review("panel-cable-drop"))
def panel_cable_drop(van: Van) -> Iterator[Breach]:
    """The cables between panels and controller lose little of the panels' power."""
    solved = van.solved.get(OperatingState.SUN)
    if solved is None:
        return
    limit = limits.voltage_drop(van.system, "charging")
    for plant in plants(van):
        for ident in plant.arrays:
            volts, lost = _lost(van, plant, ident, solved)
            if volts and exceeds(100 * lost / volts, limit.percent):
                words: dict[str, Word] = {
                    "array": van.name(ident),
                    "charger": van.name(plant.ident),
                    "lost": Amount(lost, "V"),
                    "volts": Amount(volts, "V"),
                }
                value, most = Amount(100 * lost / volts, "%"), Amount(limit.percent, "%")
                yield Breach("panel-cable-drop", ident, van.trail(ident), words, value, most, (limit,))


def _lost(van: Van, plant: Plant, ident: str, solved: SolvedState) -> tuple[float, float]:
    """Return the voltage of a string and what its cables lose of it, both at the best current. [V]"""
    string = string_of(van, ident)
    amps = solved.device_amps.get(ident, 0.0)
    arriving = solved.across_v(f"{plant.ident}.pv+", f"{plant.ident}.pv-")
    made = [solved.across_v(f"{name}.+", f"{name}.-") for name in string]
    if not amps or arriving is None or None in made:
        return 0.0, 0.0
    at_once = sum(volts for volts in made if volts is not None) - arriving
    return sum(map(_volts, string.values())), at_once / amps * min(map(_best_a, string.values()))


def _best_a(array: eq.SolarArray) -> float:
    supplies = array.supplies(0.0)
    return (supplies.best_a or 0.0) if supplies else 0.0


def _volts(array: eq.SolarArray) -> float:
    supplies = array.supplies(0.0)
    return supplies.nominal_v if supplies else 0.0
