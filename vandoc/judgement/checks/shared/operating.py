"""Functions shared by the rules on operating states."""

from vandoc.analysis import Van
from vandoc.judgement.checks.rule import Phrase
from vandoc.model import equipment as eq
from vandoc.physics.network.graph import Consumer
from vandoc.physics.network.states import OperatingState


def said(state: OperatingState) -> Phrase:
    return Phrase(f"state-{state.name.lower().replace('_', '-')}")


def lowest_v(van: Van, consumer: Consumer) -> float | None:
    """Return the minimum operating voltage of a load; None if the file does not state it. [V]"""
    if consumer.kind == "load":
        return van.system.loads[consumer.owner].lowest_v
    piece = van.system.equipment[consumer.owner]
    return piece.lowest_v if isinstance(piece, eq.Inverter) else None
