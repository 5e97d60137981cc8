"""Functions shared by the rules on batteries."""

from math import fsum

from vandoc.analysis import Van
from vandoc.physics.network.currents import SizingState


def leaves(van: Van, ident: str, state: SizingState) -> float:
    """Return the current from the positive of a battery. [A]"""
    post, amps = f"{ident}.+", van.sizing.states[state].amps
    return fsum(amps[e.id] if e.start == post else -amps[e.id] for e in van.network.at(post))
