"""Lengths of cable in the workshop's unit."""

from dataclasses import dataclass
from math import ceil, isfinite

from vandoc.ground.figures import stated
from vandoc.pages.manual.lists.table import Cell
from vandoc.pages.manual.text import say

M_PER_FT = 0.3048  # exactly (international yard and pound agreement of 1959)
STEP_FT = 0.25


@dataclass(frozen=True)
class Lengths:
    """Lengths in one unit: metres, or feet.

    Attributes
    ----------
    unit : str
        `m` or `ft`.
    """

    unit: str

    def laid(self, metres: float) -> Cell:
        """Return a length as laid; feet to a tenth, rounded up."""
        if not isfinite(metres):
            return say("list.status.unknown")
        return metres if self.unit == "m" else ceil(round(metres / M_PER_FT * 10, 6)) / 10

    def short(self, metres: float) -> str:
        """Return a short length in words: millimetres, or inches rounded up."""
        if self.unit == "m":
            return stated(1000 * metres, "mm")
        return stated(ceil(round(12 * metres / M_PER_FT, 6)), "in")

    def step(self, metres: float) -> str:
        """Return in words the step to which a length to cut is rounded up."""
        return stated(1000 * metres, "mm") if self.unit == "m" else stated(12 * STEP_FT, "in")

    def cut(self, metres: float) -> float:
        """Return a length to cut; feet to a quarter, rounded up.

        Examples
        --------
        >>> Lengths("ft").cut(0.35), Lengths("m").cut(0.35)
        (1.25, 0.35)
        """
        return metres if self.unit == "m" else ceil(round(metres / M_PER_FT / STEP_FT, 6)) * STEP_FT
