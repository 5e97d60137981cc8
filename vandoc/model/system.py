"""The whole system of one van."""

from pydantic import Field

from vandoc.model.base import Ident, StrictModel
from vandoc.model.equipment import Equipment
from vandoc.model.van import Commissioning, Mains, Place, Service, Use, Van, Workshop
from vandoc.model.wiring import Cable, CableDefaults, Circuit, Load


class System(StrictModel):
    """One van's leisure electrics as described by its van file and part sheets."""

    van: Van
    workshop: Workshop
    places: dict[Ident, Place] = Field(min_length=1)
    equipment: dict[Ident, Equipment] = Field(min_length=1)
    loads: dict[Ident, Load] = Field(default_factory=dict)
    cable_defaults: CableDefaults = Field(default_factory=CableDefaults)
    cables: list[Cable] = Field(default_factory=list)
    circuits: list[Circuit] = Field(default_factory=list)
    use: Use | None = None
    mains: Mains | None = None
    commissioning: list[Commissioning] = Field(default_factory=list)
    services: list[Service] = Field(default_factory=list)


class CompletedSystem(System):
    """System in which each battery and charger has a size: stated, or proposed if left open."""
