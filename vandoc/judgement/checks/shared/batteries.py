"""What several rules about batteries share."""

from vandoc.analysis import Van
from vandoc.physics.network.currents import SizingState


def leaves(van: Van, ident: str, state: SizingState) -> float:
    """What leaves a battery at its plus. [A]"""
    post, amps = f"{ident}.+", van.sizing.states[state].amps
    return sum(amps[e.id] if e.start == post else -amps[e.id] for e in van.network.at(post))
