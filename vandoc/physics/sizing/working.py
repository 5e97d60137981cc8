"""What cables and fuses carry with everything on and nearly empty batteries, at the sizes of the moment."""

from collections.abc import Mapping
from dataclasses import dataclass

from vandoc.model.system import System
from vandoc.physics.network.graph import Network
from vandoc.physics.network.operating import SolvedState, Wiring
from vandoc.physics.network.states import OperatingState


@dataclass(frozen=True)
class ProvisionalCable:
    """A cable at the size of the moment."""

    area_mm2: float
    ambient_c: float
    capacity_a: float


@dataclass(frozen=True)
class ProvisionalFuse:
    """A fuse at the rating of the moment."""

    rating_a: float


def working_amps(
    system: System, network: Network, laid: Mapping[str, ProvisionalCable], ratings: Mapping[str, float]
) -> dict[str, float]:
    """Return what each cable, fuse and contact carries with everything on and nearly empty batteries. [A]

    A load of constant power then takes more than at its nominal voltage.

    Returns
    -------
    dict
        Empty where these sizes cannot feed all that is on.
    """
    fitted = {ident: ProvisionalFuse(rating) for ident, rating in ratings.items()}
    solved = Wiring(system, network, laid, fitted).solve(OperatingState.EVERYTHING)
    if not isinstance(solved, SolvedState):
        return {}
    return {edge_id: abs(amps) for edge_id, amps in solved.amps.items()}
