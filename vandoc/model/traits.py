"""What an item of equipment can state about itself, as plain data: contacts, supply, draw, lights, symbol.

Terminals are named as in the kind (`"in"`, `"+"`), without the item before them. The empty name is that of an
item that is one terminal.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import Literal

CHASSIS = "chassis"
"""The vehicle's metal, as cables name it."""

FittedFamily = Literal["C", "E", "F", "SF30", "SF51", "single-bolt", "class-T", "ANL", "glass", "gPV"]
"""The families of fuses in a holder; a circuit breaker is an item of its own."""
FuseFamily = Literal[FittedFamily, "breaker"]
JointKind = Literal[
    "isolator",
    "switch",
    "breaker",
    "changeover",
    "relay",
    "disconnect",
    "ignition",
    "shunt",
    "sensor",
    "earth",
    "case",
    "common",
    "plug",
]
BY_HAND: frozenset[JointKind] = frozenset({"isolator", "switch", "breaker", "changeover"})
"""Contacts that are set by hand."""
SourceKind = Literal["battery", "alternator", "solar", "charger", "converter"]
ConsumerKind = Literal["load", "inverter", "monitor", "charger", "converter"]
ChargeSource = Literal["alternator", "solar", "mains"]
Need = Literal["water", "fuel", "gas", "level", "reset"]
"""What a load needs besides current: a tank, a bottle, level ground, a reset by hand."""
EfficiencyName = Literal["charger efficiency", "inverter efficiency"]


@dataclass(frozen=True)
class Joins:
    """A contact or a plain connection inside an item.

    Attributes
    ----------
    start, end : str
        Two of its terminals; the end may be `CHASSIS`.
    kind : str
        How it joins: the kinds of `BY_HAND` are set by hand, ``"relay"`` by a coil, ``"disconnect"`` by the
        voltage, ``"ignition"`` by the vehicle; the others are closed for ever. Isolators are opened to
        isolate the van.
    with_engine : bool
        Closed only while the engine runs.
    ohm : float or None
        Its resistance, if known. [Ω]
    unless_cabled : bool
        Only there if no cable leads to its start.
    joins_batteries : bool
        Charges the leisure batteries from the starter battery, without limit.
    """

    start: str
    end: str
    kind: JointKind
    with_engine: bool = False
    ohm: float | None = None
    unless_cabled: bool = False
    joins_batteries: bool = False


@dataclass(frozen=True)
class CutsOff:
    """What an item does at a low battery voltage.

    Attributes
    ----------
    volts_v : float or None
        None if it is not stated. [V]
    how : str
        ``"battery"``: disconnects everything; ``"disconnect"``: what it feeds; ``"load"``: stops itself;
        ``"alarm"``: warns.
    recovers_v : float or None
        Voltage at which it connects again; None if it is not stated. [V]
    """

    volts_v: float | None
    how: Literal["battery", "disconnect", "load", "alarm"]
    recovers_v: float | None = None


@dataclass(frozen=True)
class Withstands:
    """The direct voltage that an item is made for, and what its contact opens.

    Attributes
    ----------
    voltage_v : float or None
        Rated direct voltage; None if it is not stated. [V]
    breaking_a : float or None
        Direct current that its contact opens at this voltage; None if it is not stated. [A]
    opens : bool
        Whether it has a contact that opens under load.
    asked_above_v : float
        Up to this voltage nobody is asked for its rated voltage, since none is made for less. [V]
    stated_as : str
        The attribute that states the voltage.
    """

    voltage_v: float | None
    breaking_a: float | None = None
    opens: bool = False
    asked_above_v: float = 0.0
    stated_as: str = "voltage_v"


@dataclass(frozen=True)
class Protects:
    """A fuse in its own holder, between two terminals of an item."""

    start: str
    end: str
    family: FuseFamily
    rating_a: float | None
    voltage_v: float | None = None
    breaking_a: float | None = None
    by_maker: "MakersFuse | None" = None


@dataclass(frozen=True)
class MakersFuse:
    """What the manufacturer of a fuse states of it besides its ratings.

    Attributes
    ----------
    conditional_a : float or None
        Short-circuit current that it withstands behind the fuse upstream. [A]
    opens_at_a, opens_within_s : float or None
        A current, and the longest operating time from that current on. [A, s]
    """

    conditional_a: float | None = None
    opens_at_a: float | None = None
    opens_within_s: float | None = None


@dataclass(frozen=True)
class Positions:
    """Numbered positions for fuses, each between a common feed and a terminal named by its number.

    Attributes
    ----------
    feed : str
        The terminal of the feed.
    family : str
    count : int
    stated_a : mapping
        The rating of each fuse that the item itself states, by position. [A]
    voltage_v : float or None
        Rated voltage of the item and its fuses; None if it is not stated. [V]
    by_maker : mapping
        What the manufacturer states of the fuse in each position that the item itself states.
    conditional_a : float or None
        Short-circuit current that its fuses withstand behind the fuse upstream. [A]
    rows : int
        In which its positions are, numbered along them.
    """

    feed: str
    family: FuseFamily
    count: int
    stated_a: Mapping[str, float | None]
    voltage_v: float | None = None
    by_maker: Mapping[str, MakersFuse] = field(default_factory=dict)
    conditional_a: float | None = None
    rows: int = 1

    @property
    def columns(self) -> int:
        """Number of positions in each row."""
        return self.count // self.rows

    def states_of(self, position: int) -> MakersFuse:
        """Return what the manufacturer states of the fuse in a position."""
        return replace(self.by_maker.get(str(position), MakersFuse()), conditional_a=self.conditional_a)


@dataclass(frozen=True)
class Carries:
    """The current that an item may carry.

    Attributes
    ----------
    limit_a : float or None
        None if it is not stated. [A]
    at : str
        The terminal that carries it, if it has no contact.
    """

    limit_a: float | None
    at: str = ""


@dataclass(frozen=True)
class Supplies:
    """A source of current.

    Attributes
    ----------
    kind : str
    nominal_v : float
        [V]
    limit_a : float or None
        The most that it delivers; None without a limit. [A]
    plus, minus : str
    charges_from : str or None
        The source of a charger: it works in the states in which that is there. None: it always works.
    set_v : float or None
        The voltage that it holds, if set. [V]
    inlet : str or None
        The terminal whose voltage it converts.
    waits_for_engine : bool
        An ignition feed keeps it off unless the engine runs.
    best_a : float or None
        Current of panels at their maximum power. [A]
    short_circuit_a : float or None
        What it delivers into a short circuit, if its manufacturer states it. [A]
    """

    kind: SourceKind
    nominal_v: float
    limit_a: float | None
    plus: str = "+"
    minus: str = "-"
    charges_from: ChargeSource | None = None
    set_v: float | None = None
    inlet: str | None = None
    waits_for_engine: bool = False
    best_a: float | None = None
    short_circuit_a: float | None = None


@dataclass(frozen=True)
class Draws:
    """A sink of current.

    Attributes
    ----------
    kind : str
        ``"monitor"`` draws always, ``"inverter"`` while it is on; ``"charger"`` and ``"converter"``
        are inputs.
    nominal_v : float
        [V]
    amps_a : float
        At nominal voltage. [A]
    output_w : float or None
        If given, the current follows from this output and the efficiency instead. [W]
    from_panels : bool
        If so, the current is that of the panels connected to it instead.
    """

    kind: ConsumerKind
    nominal_v: float
    amps_a: float = 0.0
    output_w: float | None = None
    plus: str = "+"
    minus: str = "-"
    from_panels: bool = False


@dataclass(frozen=True)
class Inrush:
    """What an item or a load draws while it starts.

    Attributes
    ----------
    kind : str or None
        How it starts; what is not stated follows from it.
    amps_a : float or None
        Of all its devices together, if stated. [A]
    output_w : float or None
        If given, the power follows from this output and the efficiency instead. [W]
    time_h : float or None
        If stated. [h]
    """

    kind: str | None = None
    amps_a: float | None = None
    output_w: float | None = None
    time_h: float | None = None


@dataclass(frozen=True)
class Lights:
    """When the lights of an item show something, and what they follow.

    Attributes
    ----------
    during : str
        A source of charging, or what the van does: ``"use"`` or ``"inverter"``.
    follow : str
        The charging current, a relay's contact, whether a battery still supplies, or the voltage at its
        terminals.
    """

    during: Literal["alternator", "solar", "mains", "use", "inverter"]
    follow: Literal["charging", "contact", "battery", "voltage"]


@dataclass(frozen=True)
class Fact:
    """Part of a line below the name of an item in diagrams.

    Attributes
    ----------
    value : float or None
        A quantity; None shows nothing.
    unit : str
    count : int
        Shown before the quantity if it is more than one.
    proposed : bool
        Whether the size was proposed.
    text : str
        Shown instead of a quantity.
    word : str
        A key below `beside` in the words of the kind, shown instead of a quantity.
    before : str
        What divides it from the part before it.
    """

    value: float | None = None
    unit: str = ""
    count: int = 1
    proposed: bool = False
    text: str = ""
    word: str = ""
    before: str = ", "


@dataclass(frozen=True)
class Drawing:
    """A symbol of a kind's own, in a box of 48 by 48 with connections at half height.

    Attributes
    ----------
    strokes : tuple of tuple
        Paths of SVG as steps: letters and numbers.
    left, right, below : float
        Distances of its body from the sides of the box.
    """

    strokes: tuple[tuple[str | float, ...], ...]
    left: float
    right: float
    below: float = 0.0
