"""Functions shared by the rules on returns."""

from collections.abc import Iterator

from vandoc.analysis import Van
from vandoc.physics.network.graph import Conductor


def pairs(van: Van) -> Iterator[tuple[str, Conductor, list[Conductor]]]:
    """Yield each return that the workshop lays, with the supplies of the same item."""
    cables: dict[tuple[str | int, ...], list[Conductor]] = {}
    for cable in van.network.conductors.values():
        cables.setdefault(cable.trail[:2], []).append(cable)
    for number, circuit in enumerate(van.system.circuits):
        own = [c for c in cables.get(("circuits", number), []) if c.circuit == circuit.id]
        backs = [c for c in own if c.role == "return"]
        for back in backs:
            yield circuit.id, back, [c for c in own if c.role == "supply" and c.leg == back.leg]
    for owner in [*van.system.equipment, *van.system.loads]:
        own = [c for c in van.cables_of(owner) if c.role == "cable" and not c.signal]
        backs = [c for c in own if c.start in van.network.negative]
        supplies = [c for c in own if c not in backs]
        if supplies and backs and not any(c.vehicle for c in own):
            largest = max(backs, key=lambda c: van.sizing.conductors[c.id].area_mm2)
            yield owner, largest, supplies
