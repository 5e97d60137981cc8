"""A bar that connects several cables."""

from typing import Literal

from vandoc.model.base import Rating
from vandoc.model.rated import Rated


class Busbar(Rated):
    """A bar that connects several cables."""

    terminals_of_kind = ("",)
    listed = 10
    side = "either"
    class_letter = "W"
    kind: Literal["busbar"]
    rating_a: Rating

    def stud_for_each(self) -> bool:
        return True
