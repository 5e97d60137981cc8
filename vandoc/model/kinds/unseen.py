"""The end of a cable that goes where nobody can see it."""

from typing import Literal

from vandoc.model.piece import Piece
from vandoc.model.traits import Drawing


class Unseen(Piece):
    """The end of a cable that goes where nobody can see it: perhaps live, and perhaps at a source."""

    terminals_of_kind = ("",)
    listed = 91
    drawing = Drawing((("M", 8, 24, "H", 20), ("M", 20, 12, "C", 32, 18, 10, 28, 24, 38)), 8, 24, 10)
    side = "either"
    kind: Literal["unseen"]
