"""What stands on a sheet of the single-line diagram, as plain objects: parts, and the cables between them."""

from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Literal

from vandoc.ground.unknown import cannot_tell

Sign = Literal["+", "-", "signal"]
NoteKind = Literal["bar", "frame", "wire", "signal"]

SIZE_THEN_LENGTH = " · "


@dataclass(frozen=True)
class Note:
    """A conductor that ends beside a part: its return, or a wire whose other end is elsewhere on the sheet.

    Attributes
    ----------
    kind : str
        `bar` and `frame` are returns, to a part or to the vehicle body.
    to : str
        Where it leads, or comes from.
    facts : tuple of str
        Its label, and its size and length, as far as there are any.
    edges : tuple of str
        Ids of its conductors; empty at the end where it is only referred to.
    """

    kind: NoteKind
    to: str
    facts: tuple[str, ...] = ()
    edges: tuple[str, ...] = ()

    @property
    def lines(self) -> tuple[str, ...]:
        """What is written beside its end; the symbol says it for the vehicle body."""
        return self.facts if self.kind == "frame" else (self.to, *self.facts)


@dataclass(frozen=True)
class Part:
    """An item, a load, or a position of a fuse board.

    Attributes
    ----------
    mark, short : str
        Its designation, empty if it has none; and within its board.
    place : str or None
        Id of its place.
    notes : tuple of Note
    fuse : str or None
        Id of the fuse that it is.
    here : bool
        Whether it belongs to what the sheet is about.
    """

    id: str
    symbol: str
    mark: str
    name: str
    facts: tuple[str, ...] = ()
    place: str | None = None
    href: str | None = None
    notes: tuple[Note, ...] = ()
    fuse: str | None = None
    short: str = ""
    here: bool = True

    @property
    def is_bar(self) -> bool:
        """Whether cables can be connected anywhere along it."""
        return self.symbol in ("busbar", "board")


@dataclass(frozen=True)
class Cable:
    """A cable, or several in parallel between the same two parts.

    Attributes
    ----------
    edges : tuple of str
        Ids of its conductors; empty if the file states no cable, or where a part joins another directly.
    label : str
        What its own label says; empty if it has none.
    size, length : str
        As text; empty if there is no cable.
    area_mm2 : float
        Cross-section of one, 0 if there is none; unknown if nobody knows it. [mm²]
    """

    edges: tuple[str, ...] = ()
    label: str = ""
    size: str = ""
    length: str = ""
    area_mm2: float = 0.0
    sign: Sign = "+"

    @property
    def measure(self) -> str:
        """Size and length on one line; the word for what is unknown once if both are."""
        if self.size == self.length:
            return self.size
        return SIZE_THEN_LENGTH.join(filter(None, (self.size, self.length)))

    @property
    def thickness(self) -> float:
        """Cross-section by which its line gets a width, 0 if unknown. [mm²]"""
        return 0.0 if cannot_tell(self.area_mm2) else self.area_mm2


@dataclass
class Station:
    """A part in the tree of a sheet, the cable towards its parent, and the parts behind it.

    `row` draws the station and all behind it on one line of a board.
    """

    part: Part
    cable: Cable
    children: list["Station"] = field(default_factory=list)
    row: bool = False

    def all(self) -> Iterator["Station"]:
        """Yield the station and all behind it, nearest first."""
        yield self
        for child in self.children:
            yield from child.all()
