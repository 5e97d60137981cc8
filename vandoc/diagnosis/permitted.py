"""Who may look at what: the one place that keeps hands from what can hurt them.

Nothing asks anybody to open a charger, an inverter or mains equipment, to short anything or to bypass a fuse:
there is no question of such a kind. What is left here is whom a question may be put to.
"""

from typing import Literal

from vandoc.diagnosis.problem import Reader
from vandoc.model import equipment as eq
from vandoc.model.system import System
from vandoc.model.van import Place
from vandoc.network.graph import FuseLink

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
BARE_HANDS: frozenset[Kind] = frozenset({"works", "light", "position", "position-off", "charge"})
"""What needs neither tool nor cover."""
PULLED_OUT: frozenset[eq.FuseFamily] = frozenset({"C", "E", "F"})
"""Fuses that an owner can pull out; all others are bolted to live metal."""
OWNER_MOST_V = 24.0
"""Above this nominal voltage an owner touches nothing."""
MEASURED_MOST_V = 120.0
"""Nobody is asked to measure more: extra-low voltage, ripple-free direct current (IEC 61140, from memory)."""


def reader_of(kind: Kind, system: System, place: Place | None, fuse: FuseLink | None = None) -> Reader:
    """Return the least skilled reader to whom a question may be put.

    Parameters
    ----------
    kind : str
    system : System
    place : Place or None
        Where its subject is.
    fuse : FuseLink or None
        The fuse that it is about.
    """
    if kind in BARE_HANDS:
        return "owner"
    if kind not in ("fuse-look", "fuse-swap") or fuse is None or place is None:
        return "electrician"
    reachable = place.inside and not (place.engine_space or place.gas_locker)
    harmless = highest_v(system) <= OWNER_MOST_V and fuse.family in PULLED_OUT
    return "owner" if reachable and harmless else "electrician"


def highest_v(system: System) -> float:
    """Return the highest nominal voltage of a battery string. [V]"""
    batteries = (piece for piece in system.equipment.values() if isinstance(piece, eq.Battery))
    return max((battery.nominal_v or system.van.nominal_v for battery in batteries), default=0.0)
