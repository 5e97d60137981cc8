"""What a van does during an observation, the effect of a fault on its network, and the solution."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import Enum
from typing import ClassVar

OPEN_OHM = 1e9
NOTHING_A = 1e-6


class Activity(Enum):
    """What the van does during an observation.

    In `USE` nothing charges; all loads are on unless the trial names some. In `INVERTER` the loads are off
    and the inverter delivers its rated power. In the others the loads are off and the named source charges.
    """

    USE = "in use"
    INVERTER = "inverter on"
    DRIVING = "driving"
    HOOK_UP = "on hook-up"
    SUN = "sun only"


@dataclass(frozen=True)
class Trial:
    """The state of the van during an observation.

    Attributes
    ----------
    doing : Activity
    off : tuple of str
        Contacts that are switched off.
    on : tuple of str or None
        The only loads that are switched on, in use; None for all of them.
    lamps : tuple of (str, float)
        The devices across whose terminals a proof lamp draws current, with its rated power. [W]
    """

    doing: Activity
    off: tuple[str, ...] = ()
    on: tuple[str, ...] | None = None
    lamps: tuple[tuple[str, float], ...] = ()

    USE: ClassVar["Trial"]
    INVERTER: ClassVar["Trial"]
    DRIVING: ClassVar["Trial"]
    HOOK_UP: ClassVar["Trial"]
    SUN: ClassVar["Trial"]

    @property
    def charging(self) -> str | None:
        """The charging source: ``alternator``, ``mains`` or ``solar``; None if nothing charges."""
        return _CHARGING.get(self.doing)


_CHARGING = {Activity.DRIVING: "alternator", Activity.HOOK_UP: "mains", Activity.SUN: "solar"}
for _doing in Activity:
    setattr(Trial, _doing.name, Trial(_doing))


@dataclass(frozen=True)
class NetworkChange:
    """The effect of a fault on a network.

    Attributes
    ----------
    ohms : mapping
        Resistance added to a cable, fuse or contact; `OPEN_OHM` opens it. [Ω]
    without : frozenset of str
        Devices that neither draw nor supply current.
    closed : frozenset of str
        Contacts that are closed when they should be open.
    volts : mapping
        The fraction of its open-circuit voltage that a battery still has. [1]
    """

    ohms: Mapping[str, float] = field(default_factory=dict)
    without: frozenset[str] = frozenset()
    closed: frozenset[str] = frozenset()
    volts: Mapping[str, float] = field(default_factory=dict)

    @property
    def key(self) -> tuple[object, ...]:
        """A dictionary key, the same for equal changes."""
        return tuple(sorted(self.ohms.items())), self.without, self.closed, tuple(sorted(self.volts.items()))

    def with_(self, other: "NetworkChange") -> "NetworkChange":
        """Return the combined change."""
        ohms = dict(self.ohms)
        for edge, ohm in other.ohms.items():
            ohms[edge] = ohms.get(edge, 0.0) + ohm
        return NetworkChange(
            ohms, self.without | other.without, self.closed | other.closed, {**self.volts, **other.volts}
        )


@dataclass(frozen=True)
class SolvedTrial:
    """A van with a fault, solved in one trial.

    Attributes
    ----------
    change : NetworkChange
        The effect of the fault.
    volts : mapping
        By terminal; terminals that no source reaches are missing. [V]
    amps : mapping
        By cable, fuse or contact, positive from its start to its end. [A]
    device_amps : mapping
        The current that each load draws or each source supplies. [A]
    stopped : frozenset of str
        Devices that do not work: those of the change, and those without enough input voltage.
    """

    change: NetworkChange
    volts: Mapping[str, float]
    amps: Mapping[str, float]
    device_amps: Mapping[str, float]
    stopped: frozenset[str]

    def across_v(self, plus: str, minus: str) -> float:
        """Return the voltage between two terminals; 0 if one of them is dead. [V]"""
        try:
            return self.volts[plus] - self.volts[minus]
        except KeyError:
            return 0.0

    def amps_in(self, edge: str) -> float:
        """Return the current in a cable, fuse or contact. [A]"""
        return self.amps.get(edge, 0.0)

    def amps_of(self, device: str) -> float:
        """Return the current of a device. [A]"""
        return self.device_amps.get(device, 0.0)

    def added_ohm(self, edge: str) -> float:
        """Return the resistance that the fault adds to a cable, fuse or contact. [Ω]"""
        return self.change.ohms.get(edge, 0.0)


@dataclass(frozen=True)
class IntermediateFault:
    """A fault of a size between two solved ones, interpolated linearly.

    Attributes
    ----------
    small, large : SolvedTrial or IntermediateFault, SolvedTrial
    part : float
        0 at the smaller, 1 at the larger fault. [1]
    """

    small: "SolvedTrial | IntermediateFault"
    large: SolvedTrial
    part: float

    @property
    def stopped(self) -> frozenset[str]:
        return self.large.stopped

    def across_v(self, plus: str, minus: str) -> float:
        small = self.small.across_v(plus, minus)
        return small + self.part * (self.large.across_v(plus, minus) - small)

    def amps_in(self, edge: str) -> float:
        small = self.small.amps_in(edge)
        return small + self.part * (self.large.amps_in(edge) - small)

    def amps_of(self, device: str) -> float:
        small = self.small.amps_of(device)
        return small + self.part * (self.large.amps_of(device) - small)


Point = SolvedTrial | IntermediateFault
