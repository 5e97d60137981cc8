"""What gives current to a network and what takes it."""

from dataclasses import dataclass
from typing import Literal

from vandoc.ground.calc.require import finite, not_negative, positive

Behaviour = Literal["current", "power", "resistance"]


@dataclass(frozen=True, slots=True)
class Battery:
    """A voltage behind a resistance; takes current as readily as it gives it.

    Attributes
    ----------
    volts : float
        With nothing connected. [V]
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
    """Where a supply takes its power from: a draw of constant power that follows what the supply gives.

    Attributes
    ----------
    efficiency : float
        Part of the power that comes out again. [1]
    limit_a : float or None
        Most that it draws; the output follows. [A]
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
    """A charger, converter or alternator: holds its voltage up to its limit of current, and never takes any.

    Attributes
    ----------
    volts : float
        At no current. [V]
    ohm : float
        How its voltage sags with its current, above 0. [Ω]
    limit_a : float
        Most that it gives. [A]
    inlet : Inlet or None
        None where its power comes from outside the network.
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
    """Something that takes current.

    Attributes
    ----------
    behaves : str
        What stays the same when the voltage changes.
    amount : float
        How much of it: [A], [W] or [Ω].
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
