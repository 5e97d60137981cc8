"""Who may look at what: the one place that keeps hands from what can hurt them.

Nothing asks anybody to open a charger, an inverter or mains equipment, to short anything or to bypass a fuse:
there is no question of such a kind. What is left here is whom a question may be put to.
"""

from typing import Literal

from vandoc.analysis.diagnosis.problem import Reader
from vandoc.model import equipment as eq
from vandoc.model.system import System
from vandoc.model.van import Place
from vandoc.physics.network.graph import FuseLink, Network

Kind = Literal[
    "works",
    "light",
    "position",
    "position-off",
    "fuse-look",
    "fuse-swap",
    "charge",
    "volts",
    "back-volts",
    "drop",
    "joint-drop",
    "continuity",
    "open-contact",
]
LOOKED_AT: frozenset[Kind] = frozenset({"light", "position", "position-off"})
"""What must be gone up to."""
FUSES: frozenset[Kind] = frozenset({"fuse-look", "fuse-swap"})
BARE_HANDS: frozenset[Kind] = frozenset({"works", "light", "position", "position-off", "charge"})
"""What needs neither tool nor cover."""
PULLED_OUT: frozenset[eq.FuseFamily] = frozenset({"C", "E", "F"})
"""Fuses that an owner can pull out; all others are bolted to live metal."""
OWNER_MOST_V = 24.0
"""Above this nominal voltage an owner touches nothing."""
OWNER_MOST_A = 60.0
"""A larger fuse is left to the workshop: common practice, no source."""
MEASURED_MOST_V = 120.0
"""Nobody is asked to measure more: extra-low voltage, ripple-free direct current (IEC 61140, from memory)."""


def reader_of(kind: Kind, place: Place | None, pulled: bool = False) -> Reader:
    """Return the least skilled reader to whom a question may be put.

    Parameters
    ----------
    kind : str
    place : Place or None
        Where its subject is.
    pulled : bool
        Whether it is about a fuse that an owner may pull out, as `owner_pulls` tells.
    """
    if kind in LOOKED_AT and place is not None and place.engine_space:
        return "electrician"  # belts and fans turn there when the engine runs
    if kind in BARE_HANDS or (kind in FUSES and pulled):
        return "owner"
    return "electrician"


def owner_pulls(system: System, network: Network, fuse: FuseLink, rating_a: float) -> bool:
    """Return whether an owner may pull out a fuse and put in another.

    Parameters
    ----------
    system : System
    network : Network
    fuse : FuseLink
    rating_a : float
        As fitted or proposed. [A]
    """
    place = system.places[system.equipment[fuse.owner].place]
    reachable = place.inside and not (place.engine_space or place.gas_locker)
    harmless = highest_v(system) <= OWNER_MOST_V and rating_a <= OWNER_MOST_A
    return reachable and harmless and fuse.family in PULLED_OUT and not _is_first(network, fuse)


def _is_first(network: Network, fuse: FuseLink) -> bool:
    """Whether a fuse in its own holder is the first from a battery: before it nothing protects."""
    batteries = [source.plus for source in network.sources if source.kind == "battery"]
    unprotected = network.paths(batteries, lambda edge: not isinstance(edge, FuseLink))
    return fuse.position is None and any(unprotected(end) is not None for end in (fuse.start, fuse.end))


def highest_v(system: System) -> float:
    """Return the highest nominal voltage of a battery string. [V]"""
    batteries = (piece for piece in system.equipment.values() if isinstance(piece, eq.Battery))
    return max((battery.nominal_v or system.van.nominal_v for battery in batteries), default=0.0)
