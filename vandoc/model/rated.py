"""Equipment that current passes through, with a rating: what its kinds answer alike."""

from typing import TYPE_CHECKING

from vandoc.model.piece import Piece
from vandoc.model.traits import Carries, Fact, Withstands


class Rated(Piece):
    """Equipment rated for a current; each kind has the field `rating_a`."""

    if TYPE_CHECKING:
        rating_a: float

    def carries(self) -> Carries | None:
        return Carries(self.rating_a)

    def facts(self, nominal_v: float) -> tuple[tuple[Fact, ...], ...]:  # noqa: ARG002
        return ((Fact(self.rating_a, "A"),),)


class Insulated(Rated):
    """Rated equipment made for a direct voltage; each kind has the field `voltage_v`."""

    if TYPE_CHECKING:
        voltage_v: float | None

    def withstands(self) -> Withstands | None:
        return Withstands(self.voltage_v)


class Contact(Insulated):
    """A contact that opens under load; each kind has the field `breaking_a` as well."""

    if TYPE_CHECKING:
        breaking_a: float | None

    def withstands(self) -> Withstands | None:
        return Withstands(self.voltage_v, self.breaking_a, opens=True)
