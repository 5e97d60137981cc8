"""The bonds of leisure batteries: the cables between a battery's negative and the vehicle body."""

from dataclasses import dataclass

from vandoc.model.system import CompletedSystem
from vandoc.model.traits import CHASSIS
from vandoc.physics.network.graph import Conductor, Edge, Joint, Network, Source


@dataclass(frozen=True)
class Bond:
    """A cable between a leisure battery and the body.

    Attributes
    ----------
    conductor : Conductor
    battery : str
    leads : tuple of Conductor
        The cables at the battery's positive terminal.
    """

    conductor: Conductor
    battery: str
    leads: tuple[Conductor, ...]


def leisure_batteries(system: CompletedSystem, network: Network) -> list[Source]:
    """Return the batteries that are not the vehicle's own."""
    return [b for b in network.batteries() if getattr(system.equipment[b.owner], "role", None) == "leisure"]


def bonds(system: CompletedSystem, network: Network) -> tuple[Bond, ...]:
    """Return the bonds of every leisure battery.

    If several cables in series lead from the body to its negative terminal, the last is the battery's own
    negative lead and no bond. Cables of the vehicle are left out.
    """
    found = []
    for battery in leisure_batteries(system, network):
        leads = tuple(e for e in network.at(battery.plus) if isinstance(e, Conductor) and not e.vehicle)
        way = network.path([CHASSIS], battery.minus, _is_parked) or []
        cables = [edge for edge in way if isinstance(edge, Conductor)]
        bonding = [cable for cable in cables[:-1] or cables if not cable.vehicle]
        found += [Bond(cable, battery.owner, leads) for cable in bonding]
    return tuple(found)


def _is_parked(edge: Edge) -> bool:
    return not (isinstance(edge, Joint) and edge.with_engine)
