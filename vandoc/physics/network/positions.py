"""The positions of a changeover switch: what feeds it in each of them."""

from dataclasses import dataclass
from typing import TypeVar

from vandoc.model.system import CompletedSystem
from vandoc.physics.network.expand import build
from vandoc.physics.network.graph import Joint, Network

AnySystem = TypeVar("AnySystem", bound=CompletedSystem)


@dataclass(frozen=True)
class Position:
    """A position of a changeover switch.

    Attributes
    ----------
    name : str
    usual : bool
    sources : tuple of str
        Batteries, converters and chargers that feed its common terminal; empty if none does.
    """

    name: str
    usual: bool
    sources: tuple[str, ...]


def turned(system: AnySystem, ident: str) -> AnySystem:
    """Return a system with an item in its other position; the system itself if the item has only one."""
    other = system.equipment[ident].turned()
    if other is None:
        return system
    return system.model_copy(update={"equipment": {**system.equipment, ident: other}})


def positions(system: CompletedSystem, network: Network, ident: str) -> tuple[Position, ...]:
    """Return the positions of an item, the usual one first; none if it has only one."""
    piece = system.equipment[ident]
    other = piece.turned()
    if other is None:
        return ()
    after = build(turned(system, ident))
    return (
        Position(piece.in_position(), True, _feeding(network, ident)),
        Position(other.in_position(), False, _feeding(after, ident)),
    )


def _feeding(network: Network, ident: str) -> tuple[str, ...]:
    joint = next(one for one in network.joints.values() if one.owner == ident)
    reached = network.flood([joint.start], lambda edge: not (isinstance(edge, Joint) and edge.with_engine))
    kinds = ("battery", "converter", "charger")
    return tuple(one.owner for one in network.sources if one.plus in reached and one.kind in kinds)
