"""Devices of a network: batteries, supplies and loads."""

from dataclasses import dataclass
from typing import Literal

from vandoc.ground.calc.require import finite, not_negative, positive

Behaviour = Literal["current", "power", "resistance"]


@dataclass(frozen=True, slots=True)
class Battery:
    """Voltage source with internal resistance; it can both deliver and absorb current.

    Attributes
    ----------
    volts : float
        Open-circuit voltage. [V]
    ohm : float
        Above 0. [Ω]
    """

    name: str
    plus: str
    minus: str
    volts: float
    ohm: float

    def __post_init__(self) -> None:
        finite("volts", self.volts)
        positive("ohm", self.ohm)


@dataclass(frozen=True, slots=True)
class Inlet:
    """Input of a supply: a constant-power load that follows the output of the supply.

    Attributes
    ----------
    efficiency : float
        Output power divided by input power. [1]
    limit_a : float or None
        Maximum input current; the output is limited accordingly. [A]
    """

    name: str
    plus: str
    minus: str
    efficiency: float
    limit_a: float | None = None

    def __post_init__(self) -> None:
        positive("efficiency", self.efficiency)
        if self.limit_a is not None:
            not_negative("limit_a", self.limit_a)


@dataclass(frozen=True, slots=True)
class Supply:
    """Charger, converter or alternator: holds its voltage up to its current limit, never absorbs current.

    Attributes
    ----------
    volts : float
        Voltage without load. [V]
    ohm : float
        Output resistance: voltage droop per current, above 0. [Ω]
    limit_a : float
        Maximum output current. [A]
    inlet : Inlet or None
        None if its power comes from outside the network.
    """

    name: str
    plus: str
    minus: str
    volts: float
    ohm: float
    limit_a: float
    inlet: Inlet | None = None

    def __post_init__(self) -> None:
        positive("volts", self.volts)
        positive("ohm", self.ohm)
        not_negative("limit_a", self.limit_a)


@dataclass(frozen=True, slots=True)
class Load:
    """Load that draws current.

    Attributes
    ----------
    behaves : str
        Quantity that stays constant when the voltage changes.
    amount : float
        Value of that quantity: [A], [W] or [Ω].
    """

    name: str
    plus: str
    minus: str
    behaves: Behaviour
    amount: float

    def __post_init__(self) -> None:
        if self.behaves == "resistance":
            positive("amount", self.amount)
        else:
            not_negative("amount", self.amount)


Device = Battery | Supply | Inlet | Load
