"""What every item of equipment states about itself; each kind is a module in `kinds/`.

The rooms that compute and write ask these questions of an item; they do not ask of which kind it is.
"""

import inspect
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any, ClassVar, Literal, Self, get_args

from pydantic import Field, PrivateAttr

from vandoc.ground.messages import Voice, beside, voice
from vandoc.model.base import Area, Ident, Line, Name, ProposedNumber, StrictModel, Text, Torque
from vandoc.model.fitted import Designated
from vandoc.model.traits import (
    CHASSIS,
    Carries,
    CutsOff,
    Drawing,
    Draws,
    EfficiencyName,
    Fact,
    Inrush,
    Joins,
    Lights,
    Positions,
    Protects,
    Supplies,
    Withstands,
)
from vandoc.model.van import Day, Hours, Picture

Stud = Literal["M4", "M5", "M6", "M8", "M10", "M12"]
Termination = Literal["ferrule", "receptacle", "butt connector", "bare end"]
FaultKind = Literal[
    "left-off",
    "left-on",
    "joint-poor",
    "contact-poor",
    "earth-bad",
    "fuse-blown",
    "cable-open",
    "stuck-open",
    "stuck-closed",
    "flat",
    "cell-gone",
    "dead",
    "shorted",
    "not-feeding",
    "ignition-lost",
]
LabelKind = Literal["battery", "isolator", "earth", "contact"]
Condition = Literal["powered", "charging", "full", "no input", "low voltage"]
Likelihoods = dict[FaultKind, Annotated[float, Field(gt=0, le=1000, strict=False)]]


class Indicator(StrictModel):
    """A light or display message, and its meaning in the workshop's own words."""

    where: Line
    colour: Literal["red", "green", "amber", "yellow", "blue", "white", "none"]
    pattern: Literal["steady", "slow", "quick", "off", "display"]
    shows: Line | None = None
    meaning: Text
    when: Condition | None = None
    do: Text
    urgency: Literal["now", "soon", "none"] = "none"


class Piece(Designated):
    """Common properties of all equipment.

    A kind of equipment is a subclass with a field `kind`, a literal: the word by which van files name it.

    Attributes
    ----------
    terminals_of_kind : tuple of str
        Names of its terminals; the empty name is that of an item that is one terminal.
    sparks : bool
        Whether it can make a spark in normal use.
    listed : int
        Its rank in lists of kinds.
    side : str
        Whether its terminals are on the supply or the return side by their names (``"-"`` and ``"sensor"``
        are return), always on the return, or on the side of their neighbours.
    usual_efficiency : str
        The constant that holds where none is stated.
    drawing : Drawing or None
        Its own symbol; None if it uses one of the diagram's.
    needs_access : bool
        Whether the owner must be able to reach it.
    label_of_kind : str or None
        The label that it gets of its own.
    class_letter : str or None
        The letter of its class in designations (IEC 81346-2); None if it gets none.
    """

    terminals_of_kind: ClassVar[tuple[str, ...]] = ()
    sparks: ClassVar[bool] = False
    listed: ClassVar[int] = 100
    side: ClassVar[Literal["named", "return", "either"]] = "named"
    usual_efficiency: ClassVar[EfficiencyName] = "charger efficiency"
    drawing: ClassVar[Drawing | None] = None
    needs_access: ClassVar[bool] = False
    label_of_kind: ClassVar[LabelKind | None] = None
    class_letter: ClassVar[str | None] = None
    if TYPE_CHECKING:
        kind: str

    name: Name
    place: Ident
    part: Line | None = None
    figures_from: Line | None = None
    torque_nm: Torque | None = None
    stud: Stud | None = None
    termination: Termination | None = None
    largest_cable_mm2: Area | None = None
    covered: bool | None = None
    ignition_protected: bool = False
    indicators: list[Indicator] = Field(default_factory=list)
    likelihood: Likelihoods = Field(default_factory=dict)
    picture: Picture | None = None
    installed: Day | None = None
    replace_by: Day | None = None
    notes: Text | None = None

    def terminals(self) -> tuple[str, ...]:
        """Return its terminal names; an empty name if the item is itself a single terminal."""
        return self.terminals_of_kind

    def optional_terminals(self) -> tuple[str, ...]:
        """Return the terminals that may be left without a cable."""
        return ()

    @classmethod
    def kind_name(cls) -> str:
        """Return the word by which van files name the kind."""
        return str(get_args(cls.model_fields["kind"].annotation)[0])

    @classmethod
    def words(cls) -> Any:
        """Return the words in the file beside its module: `name`, `beside`.

        Raises
        ------
        LookupError
            If there is no such file.
        """
        return _words(cls, voice())

    def joins(self) -> tuple[Joins, ...]:
        """Return its contacts and the plain connections inside it."""
        return ()

    def passes(self) -> tuple[str, str] | None:
        """Return the two terminals between which a circuit can pass through it; None if it cannot."""
        ends = self.terminals()
        if self.side == "return" or not 1 <= len(ends) <= 2:
            return None
        inside = any(CHASSIS not in (join.start, join.end) for join in self.joins()) or self.protects()
        return (ends[0], ends[-1]) if inside or ends == ("",) else None

    def protects(self) -> Protects | None:
        """Return the fuse that it is."""
        return None

    def cuts_off(self) -> CutsOff | None:
        """Return what it does at a low battery voltage, if anything."""
        return None

    def withstands(self) -> Withstands | None:
        """Return the direct voltage that it is made for, and what its contact opens, if either counts."""
        return None

    def positions(self) -> Positions | None:
        """Return the positions for fuses that it has."""
        return None

    def position_cable_mm2(self) -> float | str | None:
        """Return the largest cable that its positions for fuses take, if stated."""
        return None

    def supposed_joined(self) -> Self:
        """Return it as it would be if nobody knew better: with all terminals of an unknown item connected."""
        return self

    def opens_at(self) -> float | None:
        """Return the multiple of its rating at which it is certain to open, if stated. [1]"""
        return None

    def closes_itself(self) -> bool:
        """Return whether it is known to close again by itself after it has opened at too much current."""
        return False

    def carries(self) -> Carries | None:
        """Return the current that it may carry, if it is rated for one."""
        return None

    def supplies(self, nominal_v: float) -> Supplies | None:  # noqa: ARG002
        """Return what it supplies in a van with a nominal voltage. [V]"""
        return None

    def draws(self, nominal_v: float) -> Draws | None:  # noqa: ARG002
        """Return what it draws in a van with a nominal voltage. [V]"""
        return None

    def converts_w(self, nominal_v: float) -> float | None:  # noqa: ARG002
        """Return the power that it puts out at most, if it heats up by converting it. [W]"""
        return None

    def least_v(self) -> float | None:
        """Return its minimum operating voltage, if stated. [V]"""
        return None

    def inrush(self) -> Inrush | None:
        """Return what it draws while it starts; None if that is not known to be more than at work."""
        return None

    def hours_of_use(self) -> Hours | None:
        """Return the hours a day at its full draw; None if not stated."""
        return None

    def turned(self) -> Self | None:
        """Return it in its other position; None if it has only one."""
        return None

    def in_position(self) -> str:
        """Return the terminal to which it connects its common one; empty if it has only one position."""
        return ""

    def common_pole(self) -> Literal["negative", "positive", "isolated"] | None:
        """Return the pole that it joins between panels and battery, if stated."""
        return None

    def mains(self) -> Literal["hook_up", "inverter_output"] | None:
        """Return the part of the mains that it belongs to."""
        return None

    def label_facts(self) -> tuple[str, ...]:
        """Return what its label says besides its name."""
        return ()

    def breaks(self) -> tuple[FaultKind, ...]:
        """Return the faults that it can have, besides those of its contacts, fuses and connections."""
        return ()

    def lights(self) -> Lights | None:
        """Return when its lights show something, and what they follow; None if they tell nothing."""
        return None

    def symbol(self) -> str:
        """Return the name of its symbol in diagrams."""
        return self.kind

    def facts(self, nominal_v: float) -> tuple[tuple[Fact, ...], ...]:  # noqa: ARG002
        """Return the lines shown below its name in diagrams."""
        return ()

    def stud_for_each(self) -> bool:
        """Return whether each cable has a stud of its own at its single terminal, as on a bar."""
        return False

    def number(self) -> int:
        """Return how many alike it consists of, such as blocks in series."""
        return 1

    def of_vehicle(self) -> bool:
        """Return whether it came with the vehicle, and so is not on the list of parts."""
        return False


class Sizable(Piece):
    """Equipment whose size may be left open in the file; completing the system adds the proposal."""

    _proposed: ProposedNumber | None = PrivateAttr(None)

    @property
    def proposed(self) -> ProposedNumber | None:
        """Proposed size, if the file leaves it open."""
        return self._proposed

    def is_open(self) -> bool:
        """Return whether the file leaves its size open.

        Raises
        ------
        NotImplementedError
            If the kind does not answer.
        """
        raise NotImplementedError

    def usual_sizes(self) -> tuple[float, ...]:
        """Return the sizes that are sold, ascending, to propose one of."""
        return ()

    def with_proposed(self, proposed: ProposedNumber) -> Self:
        """Return a copy with this size."""
        piece = self.model_copy()
        piece._proposed = proposed
        return piece

    def _known(self, stated: float | None) -> float:
        if stated is not None:
            return stated
        if self._proposed is None:
            raise LookupError(f"the size of {self.name!r} is open, and nothing was proposed for it")
        return self._proposed.value


def full_terminals(ident: str, piece: Piece) -> Iterator[str]:
    """Yield the terminals as cables name them: `house.+`, or only the item's name for a single terminal."""
    for terminal in piece.terminals():
        yield f"{ident}.{terminal}" if terminal else ident


@cache
def _words(kind: type[Piece], words_of: Voice) -> Any:  # noqa: ARG001 (the words differ)
    return beside(Path(inspect.getfile(kind)))
