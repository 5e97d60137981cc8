"""Functions shared by the rules on operating states."""

from math import fsum

from vandoc.analysis import Van, exceeds
from vandoc.judgement.checks.rule import Phrase
from vandoc.physics.network.currents import SizingState
from vandoc.physics.network.graph import Consumer
from vandoc.physics.network.states import OperatingState


def said(state: OperatingState) -> Phrase:
    return Phrase(f"state-{state.name.lower().replace('_', '-')}")


def overloads(van: Van) -> dict[str, float]:
    """Return the converters of which more is asked than they give, with the current asked. [A]"""
    amps, found = van.sizing.states[SizingState.SUPPLY].amps, {}
    for source in van.network.sources:
        if source.kind == "converter" and source.limit_a is not None:
            edges = van.network.at(source.plus)
            asked = fsum(amps[e.id] if e.start == source.plus else -amps[e.id] for e in edges)
            if exceeds(asked, source.limit_a):
                found[source.owner] = asked
    return found


def lowest_v(van: Van, consumer: Consumer) -> float | None:
    """Return the minimum operating voltage of a load; None if the file does not state it. [V]"""
    return van.system.things[consumer.owner].least_v()
