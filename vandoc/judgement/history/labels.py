"""Labels on a van that no longer apply."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from vandoc.model.designations import of_conductor
from vandoc.model.system import CompletedSystem
from vandoc.physics.network.graph import owner_of
from vandoc.physics.sizing import SizedConductor, Sizing


@dataclass(frozen=True)
class Label:
    """A label to replace, or to remove if its item has been removed.

    Attributes
    ----------
    kind : str
        Kind of item that carries the label.
    name : str
        Name of the item in the file; for a fuse, its board and position.
    gone : bool
    """

    kind: Literal["fuse", "cable", "battery", "isolator", "earth", "contact", "item", "code"]
    name: str
    gone: bool = False


def stale_labels(
    old: CompletedSystem, was: Sizing, new: CompletedSystem, sizing: Sizing
) -> tuple[Label, ...]:
    """Return the labels of an old revision that are wrong for a new one.

    The QR codes carry the revision, so they are included if any other label is.
    """
    before, after = dict(_said(old, was)), dict(_said(new, sizing))
    found = [
        Label(label.kind, label.name, label not in after)
        for label, text in before.items()
        if after.get(label) != text
    ]
    code = [Label("code", "")] if new.van.published else []
    return (*found, *code)


def _said(system: CompletedSystem, sizing: Sizing) -> Iterator[tuple[Label, tuple[str, ...]]]:
    """Yield each label with its text."""
    served: dict[tuple[str, int], list[str]] = {}
    for circuit in system.circuits:
        names = [system.loads[load].name for load in circuit.loads]
        served.setdefault((circuit.fuse.board, circuit.fuse.position), []).extend(names)
    for ident, fuse in sizing.fuses.items():
        link = fuse.link
        names = served.get((link.owner, link.position or 0), [])
        yield Label("fuse", ident), (f"{fuse.rating_a:g}", link.family, *names)
    for ident, cable in sizing.conductors.items():
        if not cable.conductor.vehicle:
            yield Label("cable", ident), _of_cable(system, cable)
    for ident, piece in system.equipment.items():
        words = (piece.name, piece.designation or "")
        if piece.label_of_kind is not None:
            yield Label(piece.label_of_kind, ident), (*words, *piece.label_facts())
        elif not piece.of_vehicle():
            yield Label("item", ident), words
    for circuit in system.circuits:
        for ident in circuit.loads:
            load, board = system.loads[ident], system.equipment[circuit.fuse.board].name
            said = (load.name, load.designation or "", board, str(circuit.fuse.position))
            yield Label("item", ident), said


def _of_cable(system: CompletedSystem, cable: SizedConductor) -> tuple[str, ...]:
    conductor = cable.conductor
    things = system.things
    owners = (owner_of(conductor.start), owner_of(conductor.end))
    names = [things[owner].name for owner in owners if owner in things]
    for circuit in system.circuits:
        if circuit.id == conductor.circuit:
            names = [system.loads[load].name for load in circuit.loads]
    designation = of_conductor(system, conductor.trail, conductor.role)
    return conductor.start, conductor.end, cable.size, designation, *names
