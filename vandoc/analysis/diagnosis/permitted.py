"""Who may be asked what: the only module that decides whether a question is safe for a reader.

No question asks anyone to open a charger, inverter or mains equipment, to short-circuit anything or to bypass
a fuse. The functions here decide which reader may be asked.
"""

from dataclasses import dataclass
from typing import Literal

from vandoc.analysis.diagnosis.problem import Reader
from vandoc.ground.data import constant, rows
from vandoc.model import equipment as eq
from vandoc.model.system import CompletedSystem
from vandoc.model.van import Place
from vandoc.physics.network.graph import FuseLink, Network

Kind = Literal[
    "gates",
    "works",
    "light",
    "position",
    "position-off",
    "fuse-look",
    "fuse-swap",
    "charge",
    "volts",
    "loss",
    "back-volts",
    "drop",
    "joint-drop",
    "continuity",
    "open-contact",
]
SEEN_ON_SITE: frozenset[Kind] = frozenset({"light", "position", "position-off"})
"""Questions for which the reader must go to the item."""
FUSES: frozenset[Kind] = frozenset({"fuse-look", "fuse-swap"})
BARE_HANDS: frozenset[Kind] = frozenset({"gates", "works", "light", "position", "position-off", "charge"})
"""Questions that need no tool and no cover removed."""
BLADE_FAMILIES: frozenset[eq.FuseFamily] = frozenset({"C", "E", "F"})
"""Fuses that an owner can pull out; all others are bolted to live metal."""
MAX_OWNER_V = 24.0
"""Above this nominal voltage an owner is asked to touch nothing."""
MAX_OWNER_A = 60.0
"""A fuse with a higher rating is left to the workshop: common practice, no source."""
MAX_MEASURED_V = 120.0
"""The highest voltage to be measured: extra-low voltage, ripple-free DC (IEC 61140, from memory)."""


@dataclass(frozen=True)
class ProofLamp:
    """A filament lamp that shows under load what reaches a place."""

    nominal_v: float
    power_w: float
    source: str
    from_memory: bool


def reader_of(kind: Kind, place: Place | None, pulled: bool = False) -> Reader:
    """Return the least skilled reader who may be asked a question.

    Parameters
    ----------
    kind : str
    place : Place or None
        The location of its subject.
    pulled : bool
        Whether it concerns a fuse that an owner may pull out; see `owner_pulls`.
    """
    if kind in SEEN_ON_SITE and place is not None and place.engine_space:
        return "electrician"  # belts and fans move there while the engine runs
    if kind in BARE_HANDS or (kind in FUSES and pulled):
        return "owner"
    return "electrician"


def owner_pulls(system: CompletedSystem, network: Network, fuse: FuseLink, rating_a: float) -> bool:
    """Return whether an owner may remove and replace a fuse.

    Parameters
    ----------
    system : CompletedSystem
    network : Network
    fuse : FuseLink
    rating_a : float
        Stated or proposed. [A]
    """
    place = system.places[system.equipment[fuse.owner].place]
    reachable = place.inside and not (place.engine_space or place.gas_locker)
    harmless = highest_v(system) <= MAX_OWNER_V and rating_a <= MAX_OWNER_A
    return reachable and harmless and fuse.family in BLADE_FAMILIES and not _is_first(network, fuse)


def proof_lamp_w(
    system: CompletedSystem, thing: str, nominal_v: float, amps: float, fuse_a: float | None
) -> float | None:
    """Return the power of the lamp that an electrician may clip across the input of a device. [W]

    It draws as much as the device if the circuit's fuse carries that for long. None if there is no such lamp,
    or its heat and its spark have no place: beside gas, fuel, the engine or a battery that may give off gas,
    and above 24 V.

    Parameters
    ----------
    system : CompletedSystem
    thing : str
        The device.
    nominal_v : float
        Of the device. [V]
    amps : float
        What the device draws. [A]
    fuse_a : float or None
        The rating of the last fuse before it; None if that is not known. [A]
    """
    where = system.things[thing].place
    place = system.places[where]
    gas = {one.place for one in system.batteries.values() if one.traits.gassing is not False}
    near = place.gas_locker or place.engine_space or not {"gas", "fuel"}.isdisjoint(place.beside or ())
    if fuse_a is None or near or where in gas:
        return None
    most_w = constant("continuous fuse load").value * fuse_a * nominal_v
    lamps = [row.power_w for row in rows("proof_lamps", ProofLamp) if row.nominal_v == nominal_v]
    fitting = [watts for watts in lamps if watts <= most_w]
    return min((watts for watts in fitting if watts >= amps * nominal_v), default=max(fitting, default=None))


def _is_first(network: Network, fuse: FuseLink) -> bool:
    """Whether a fuse in its own holder is the first after a battery, so that no fuse protects it."""
    batteries = [source.plus for source in network.sources if source.kind == "battery"]
    unprotected = network.paths(batteries, lambda edge: not isinstance(edge, FuseLink))
    return fuse.position is None and any(unprotected(end) is not None for end in (fuse.start, fuse.end))


def highest_v(system: CompletedSystem) -> float:
    """Return the highest nominal voltage of a battery string. [V]"""
    batteries = system.batteries.values()
    return max((battery.nominal_v or system.van.nominal_v for battery in batteries), default=0.0)
