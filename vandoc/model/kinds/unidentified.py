"""An item that is fitted and that nobody could identify."""

from typing import Annotated, Literal, Self

from pydantic import Field, PrivateAttr, StringConstraints

from vandoc.model.piece import Piece
from vandoc.model.traits import Drawing, Joins
from vandoc.model.van import Picture

TerminalName = Annotated[str, StringConstraints(pattern=r"^[a-z0-9+-]{1,20}$")]


class Unidentified(Piece):
    """An item with terminals, of which nobody knows what it is: a contact, a load or a source."""

    listed = 90
    drawing = Drawing(
        (
            ("M", 8, 10, "H", 40, "V", 38, "H", 8, "Z"),
            ("M", 19, 20, "C", 19, 13, 29, 13, 29, 20, "C", 29, 24, 24, 24, 24, 28),
            ("M", 24, 33, "V", 33.5),
        ),
        8,
        8,
        10,
    )
    side = "either"
    kind: Literal["unidentified"]
    stated_terminals: Annotated[list[TerminalName], Field(min_length=1, max_length=40, alias="terminals")]
    picture: Picture
    _joined: bool = PrivateAttr(False)

    def terminals(self) -> tuple[str, ...]:
        return tuple(dict.fromkeys(self.stated_terminals))

    def optional_terminals(self) -> tuple[str, ...]:
        return self.terminals()

    def supposed_joined(self) -> Self:
        piece = self.model_copy()
        piece._joined = True
        return piece

    def joins(self) -> tuple[Joins, ...]:
        first, *others = self.terminals()
        return tuple(Joins(first, other, "common") for other in others) if self._joined else ()
