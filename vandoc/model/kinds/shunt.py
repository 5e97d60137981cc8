"""A measuring shunt in the negative cable, or a battery monitor's current sensor."""

from typing import Literal

from vandoc.model.base import Rating, Voltage
from vandoc.model.rated import Rated
from vandoc.model.traits import Joins


class Shunt(Rated):
    """A measuring shunt in the negative cable, or a battery monitor's current sensor."""

    terminals_of_kind = ("battery", "system")
    listed = 14
    side = "return"
    class_letter = "B"
    kind: Literal["shunt"]
    rating_a: Rating
    drop_v: Voltage = 0.05

    def joins(self) -> tuple[Joins, ...]:
        return (Joins("battery", "system", "shunt", ohm=self.drop_v / self.rating_a),)
