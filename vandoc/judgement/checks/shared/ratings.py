"""Functions shared by the rules on ratings."""

from collections.abc import Iterator

from vandoc.analysis import Van
from vandoc.model import equipment as eq
from vandoc.physics.network.graph import Joint

CONTACTS = ("isolator", "switch", "relay", "shunt")


Rated = eq.Isolator | eq.Switch | eq.Relay | eq.Shunt | eq.Busbar | eq.FuseBoard


def rated(van: Van) -> Iterator[tuple[str, Rated]]:
    for ident, piece in van.system.equipment.items():
        if isinstance(piece, Rated):
            yield ident, piece


def contact(van: Van, ident: str) -> Joint | None:
    joints = van.network.joints.values()
    return next((joint for joint in joints if joint.owner == ident and joint.kind in CONTACTS), None)


def node_of(ident: str, piece: Rated) -> str:
    return f"{ident}.in" if isinstance(piece, eq.FuseBoard) else ident
