"""A circuit breaker: a fuse that is reset by hand, and a switch."""

from typing import Literal

from vandoc.ground.calc.breaker import sure_instant_a
from vandoc.ground.unknown import cannot_tell
from vandoc.model.base import Overload, PositiveCurrent, Rating, Voltage
from vandoc.model.opens import Opens, by_maker
from vandoc.model.piece import Piece
from vandoc.model.traits import Drawing, Fact, Joins, MakersFuse, Protects

INSIDE = "inside"


class CircuitBreaker(Piece):
    """A circuit breaker; no standard gives its breaking capacity, so that its label counts."""

    terminals_of_kind = ("in", "out")
    sparks = True
    listed = 17
    label_of_kind = "contact"
    needs_access = True
    drawing = Drawing(
        (
            ("M", 8, 24, "H", 14, "L", 33, 12, "M", 34, 24, "H", 40),
            ("M", 31, 21, "L", 37, 27, "M", 37, 21, "L", 31, 27),
            ("M", 21, 20, "v", -8, "h", 5, "v", -5),
        ),
        8,
        8,
        16,
    )
    class_letter = "F"
    kind: Literal["circuit-breaker"]
    rating_a: Rating
    voltage_v: Voltage
    breaking_a: PositiveCurrent
    isolates: bool = False
    opens_at_percent: Overload | None = None
    opens: Opens | None = None
    conditional_a: PositiveCurrent | None = None
    release: Literal["thermal", "thermal-magnetic", "magnetic"] | None = None
    curve: Literal["B", "C", "D"] | None = None
    reset: Literal["by hand", "automatic"] | None = None

    def closes_itself(self) -> bool:
        return self.reset == "automatic"

    def opens_at(self) -> float | None:
        return None if self.opens_at_percent is None else self.opens_at_percent / 100

    def joins(self) -> tuple[Joins, ...]:
        return (Joins("in", INSIDE, "isolator" if self.isolates else "breaker"),)

    def protects(self) -> Protects | None:
        states = self._operates()
        return Protects(INSIDE, "out", "breaker", self.rating_a, self.voltage_v, self.breaking_a, states)

    def _operates(self) -> MakersFuse:
        """Return when it surely opens: as its manufacturer states, or by its curve."""
        if self.opens is None and self.curve is not None and not cannot_tell(self.rating_a):
            instant = sure_instant_a(self.curve, self.rating_a)
            return MakersFuse(self.conditional_a, instant.amps_a, instant.within_s)
        return by_maker(self.opens, self.conditional_a)

    def facts(self, nominal_v: float) -> tuple[tuple[Fact, ...], ...]:  # noqa: ARG002
        release = [Fact(word=self.release)] if self.release else []
        curve = [Fact(word="curve"), Fact(text=self.curve, before=" ")] if self.curve else []
        reset = [Fact(word="by-hand" if self.reset == "by hand" else "by-itself")] if self.reset else []
        return tuple(line for line in ((*release, *curve), tuple(reset)) if line)

    def label_facts(self) -> tuple[str, ...]:
        said = (self.release, self.curve, self.reset)
        return f"{self.rating_a:g}", *(text for text in said if text)
