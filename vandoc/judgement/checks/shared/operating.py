"""Functions shared by the rules on operating states."""

from vandoc.analysis import Van
from vandoc.judgement.checks.rule import Phrase
from vandoc.physics.network.graph import Consumer
from vandoc.physics.network.states import OperatingState


def said(state: OperatingState) -> Phrase:
    return Phrase(f"state-{state.name.lower().replace('_', '-')}")


def lowest_v(van: Van, consumer: Consumer) -> float | None:
    """Return the minimum operating voltage of a load; None if the file does not state it. [V]"""
    return van.system.things[consumer.owner].least_v()
