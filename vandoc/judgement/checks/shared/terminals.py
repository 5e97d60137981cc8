"""Functions shared by the rules on terminals."""

from vandoc.analysis import Van
from vandoc.physics.sizing import SizedConductor


def cables_of(van: Van, ident: str) -> list[SizedConductor]:
    cables = van.cables_of(ident)
    return [van.sizing.conductors[cable.id] for cable in cables if not cable.vehicle]
