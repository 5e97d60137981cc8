"""Currents of cables and fuses with everything on and nearly discharged batteries, at provisional sizes."""

from collections.abc import Mapping
from dataclasses import dataclass

from vandoc.model.system import CompletedSystem
from vandoc.physics.network.graph import Network
from vandoc.physics.network.operating import SolvedState, Wiring
from vandoc.physics.network.states import OperatingState


@dataclass(frozen=True)
class ProvisionalCable:
    """A cable with a provisional size."""

    area_mm2: float
    ambient_c: float
    capacity_a: float


@dataclass(frozen=True)
class ProvisionalFuse:
    """A fuse with a provisional rating."""

    rating_a: float


def working_amps(
    system: CompletedSystem,
    network: Network,
    laid: Mapping[str, ProvisionalCable],
    ratings: Mapping[str, float],
) -> dict[str, float]:
    """Return the current of each cable, fuse and contact, everything on, batteries nearly discharged. [A]

    A load of constant power then draws more than at its nominal voltage.

    Returns
    -------
    dict
        Empty if these sizes cannot supply all that is on.
    """
    fitted = {ident: ProvisionalFuse(rating) for ident, rating in ratings.items()}
    solved = Wiring(system, network, laid, fitted).solve(OperatingState.EVERYTHING)
    if not isinstance(solved, SolvedState):
        return {}
    return {edge_id: abs(amps) for edge_id, amps in solved.amps.items()}
