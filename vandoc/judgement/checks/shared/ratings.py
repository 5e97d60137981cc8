"""Functions shared by the rules on ratings."""

from collections.abc import Iterator

from vandoc.analysis import Van
from vandoc.model.piece import full_terminals
from vandoc.model.traits import BY_HAND, Carries
from vandoc.physics.network.graph import Joint

CONTACTS = (*BY_HAND, "relay", "disconnect", "ignition", "shunt", "plug")


def rated(van: Van) -> Iterator[tuple[str, Carries]]:
    """Yield the items that are rated for a current."""
    for ident, piece in van.system.equipment.items():
        if (carries := piece.carries()) is not None:
            yield ident, carries


def contact(van: Van, ident: str) -> Joint | None:
    return next((joint for joint in van.network.joints_of(ident) if joint.kind in CONTACTS), None)


def node_of(ident: str, carries: Carries) -> str:
    """Return the terminal of an item without a contact that carries its current."""
    return f"{ident}.{carries.at}" if carries.at else ident


def highest_at(van: Van, ident: str) -> float | None:
    """Return the highest voltage at any supply terminal of an item; None if no source reaches it. [V]"""
    nodes = full_terminals(ident, van.system.equipment[ident])
    volts = [
        v for node in nodes if node not in van.network.negative and (v := van.highest_v(node)) is not None
    ]
    return max(volts, default=None)
