"""The whole system of one van."""

from collections.abc import Mapping
from functools import cached_property
from typing import Any, Self, TypeVar, cast

from pydantic import Field

from vandoc.ground.messages import LANGUAGE
from vandoc.model.base import Ident, StrictModel
from vandoc.model.fitting import Alarm, Installation
from vandoc.model.kinds import Equipment, when_changed
from vandoc.model.kinds.battery import Battery
from vandoc.model.piece import Piece
from vandoc.model.van import Commissioning, Documented, Mains, Place, Review, Service, Use, Van, Workshop
from vandoc.model.wiring import Cable, CableDefaults, Circuit, Load
from vandoc.model.workshop import House, Texts

PieceKind = TypeVar("PieceKind", bound=Piece)
MOST = 2000
"""Largest number of circuits, of cables and of items of equipment; a check of that many takes minutes."""


class System(StrictModel):
    """One van's leisure electrics as described by its van file, part sheets and workshop file.

    `house` comes from the workshop file alone; `workshop` and `texts` from both.
    """

    format: int | None = Field(None, ge=1)
    van: Van
    workshop: Workshop
    house: House = Field(default_factory=House, exclude=True)
    places: dict[Ident, Place] = Field(min_length=1)
    equipment: dict[Ident, Equipment] = Field(min_length=1, max_length=MOST)
    loads: dict[Ident, Load] = Field(default_factory=dict, max_length=2 * MOST)
    cable_defaults: CableDefaults = Field(default_factory=CableDefaults)
    cables: list[Cable] = Field(default_factory=list, max_length=MOST)
    circuits: list[Circuit] = Field(default_factory=list, max_length=MOST)
    use: Use | None = None
    mains: Mains | None = None
    alarms: list[Alarm] = Field(default_factory=list, max_length=40)
    installation: Installation | None = None
    commissioning: list[Commissioning] = Field(default_factory=list)
    services: list[Service] = Field(default_factory=list)
    reviewed: list[Review] = Field(default_factory=list, max_length=MOST)
    documented: Documented | None = None
    texts: Texts = Field(default_factory=Texts)

    def model_copy(self, *, update: Mapping[str, Any] | None = None, deep: bool = False) -> Self:
        """Return a copy with some values changed; what is kept of the old ones stays behind."""
        copied = super().model_copy(update=update, deep=deep)
        for kept in ("_kinds", "_things"):
            copied.__dict__.pop(kept, None)
        return copied

    @property
    def language(self) -> str:
        """The language of the manual: ISO 639-1."""
        return self.van.language or self.house.language or LANGUAGE

    @property
    def things(self) -> Mapping[str, Piece | Load]:
        """All equipment and loads by name, in the order of the file."""
        return self._things

    def of_kind(self, kind: type[PieceKind]) -> Mapping[str, PieceKind]:
        """Return the items of one class by name, for what concerns that kind alone."""
        if kind not in self._kinds:
            self._kinds[kind] = {ident: one for ident, one in self.equipment.items() if isinstance(one, kind)}
        return cast(Mapping[str, PieceKind], self._kinds[kind])

    @cached_property
    def _kinds(self) -> dict[type[Piece], dict[str, Piece]]:
        """Items by class, kept: rules ask for them once for each cable."""
        return {}

    @cached_property
    def _things(self) -> dict[str, Piece | Load]:
        return {**self.equipment, **self.loads}

    @property
    def batteries(self) -> Mapping[str, Battery]:
        """All batteries by name."""
        return self.of_kind(Battery)

    @property
    def leisure(self) -> dict[str, Battery]:
        """The leisure batteries by name."""
        return {ident: battery for ident, battery in self.batteries.items() if battery.role == "leisure"}

    @property
    def starters(self) -> dict[str, Battery]:
        """The starter batteries by name."""
        return {ident: battery for ident, battery in self.batteries.items() if battery.role == "starter"}


class CompletedSystem(System):
    """System in which each battery and charger has a size: stated, or proposed if left open."""


@when_changed
def _rebuild() -> None:
    """Read vans with the kinds of equipment that are known now."""
    System.model_rebuild(force=True)
    CompletedSystem.model_rebuild(force=True)
