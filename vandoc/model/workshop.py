"""What a workshop states once for all its vans, in `workshop.yml`.

A new setting is a field of `House` with a default: it is then read, checked, kept with each revision, and in
the schema. A new limit also names the limit that it may only tighten.
"""

from collections.abc import Callable
from dataclasses import dataclass
from functools import cache
from typing import Annotated, Literal

from pydantic import AfterValidator, Field

from vandoc.ground.calc.conductor import STANDARD_AREAS_MM2
from vandoc.ground.calc.drop import drop_limit
from vandoc.ground.calc.protection import permitted_distance_m
from vandoc.ground.data import constant
from vandoc.ground.messages import Messages
from vandoc.ground.units import KINDS
from vandoc.model.base import Language, Line, Name, QuantityField, StrictModel, Text
from vandoc.model.van import Basis, Picture, WebAddress, Workshop

WORDS = Messages("vandoc.model", "workshop")
ROUNDING = 1 + 1e-9  # of the conversion of units


@dataclass(frozen=True)
class Stricter:
    """Validator of a limit: it must be no laxer than vandoc's own.

    Attributes
    ----------
    kind : str
        Kind of quantity.
    own : callable
        Returns vandoc's own limit, the strictest of those that may apply.
    most : bool
        Whether it is a maximum.
    """

    kind: str
    own: Callable[[], float]
    most: bool = True

    def __call__(self, value: float) -> float:
        limit = self.own()
        excess = value / limit if self.most else limit / value
        if excess > ROUNDING:
            shown = KINDS[self.kind].shown
            remedy = WORDS.say("at-most" if self.most else "at-least", limit=shown(limit))
            raise ValueError(WORDS.say("laxer", value=shown(value), limit=shown(limit), remedy=remedy))
        return value


def _drop(kind: str) -> Stricter:
    return Stricter("fraction", cache(lambda: drop_limit(kind, None).percent))


def _constant(kind: str, name: str, factor: float = 1.0, *, most: bool = True) -> Stricter:
    return Stricter(kind, cache(lambda: constant(name).value * factor), most)


_Percent = QuantityField("fraction", above=0)
_Length = QuantityField("length", above=0)
CriticalDrop = Annotated[float, _Percent, AfterValidator(_drop("critical"))]
MainDrop = Annotated[float, _Percent, AfterValidator(_drop("main"))]
LightingDrop = Annotated[float, _Percent, AfterValidator(_drop("lighting"))]
GeneralDrop = Annotated[float, _Percent, AfterValidator(_drop("general"))]
ChargingDrop = Annotated[float, _Percent, AfterValidator(_drop("charging"))]
FuseLoad = Annotated[float, _Percent, AfterValidator(_constant("fraction", "continuous fuse load", 100))]
SmallestCable = Annotated[
    float,
    QuantityField("area", above=0, high=STANDARD_AREAS_MM2[-1]),
    AfterValidator(_constant("area", "smallest separate conductor", most=False)),
]
Unprotected = Annotated[
    float,
    _Length,
    AfterValidator(Stricter("length", cache(lambda: permitted_distance_m(False, None).distance_m))),
]
ChargerCable = Annotated[float, _Length, AfterValidator(_constant("length", "longest charger cable"))]


class DropLimits(StrictModel):
    """Maximum voltage drop, supply and return together, by the importance of the circuit."""

    critical_percent: CriticalDrop | None = None
    main_percent: MainDrop | None = None
    lighting_percent: LightingDrop | None = None
    general_percent: GeneralDrop | None = None
    charging_percent: ChargingDrop | None = None

    def of(self, kind: str) -> float | None:
        """Return the limit for a kind of circuit, or None if the workshop has none. [%]"""
        found: float | None = getattr(self, f"{kind}_percent")
        return found


class Limits(StrictModel):
    """The workshop's own limits; each is stricter than the one that vandoc applies without it."""

    voltage_drop: DropLimits = Field(default_factory=DropLimits)
    fuse_load_percent: FuseLoad | None = None
    smallest_cable_mm2: SmallestCable | None = None
    unprotected_m: Unprotected | None = None
    charger_cable_m: ChargerCable | None = None


class Texts(StrictModel):
    """The workshop's own words on certain pages; a van file's own take precedence."""

    welcome: Text | None = None
    service: Text | None = None
    handover: Text | None = None


class House(StrictModel):
    """What applies to each van of a workshop and cannot be stated by a van file."""

    logo: Picture | None = None
    bases: list[Basis] = Field(default_factory=list)
    limits: Limits = Field(default_factory=Limits)
    language: Language | None = None
    units: Literal["metric", "US"] = "metric"


class WorkshopFile(House):
    """A workshop file: contact details, defaults, limits and folders for all vans below its folder."""

    format: int | None = Field(None, ge=1)
    name: Name | None = None
    phone: Line | None = None
    email: Line | None = None
    web: WebAddress | None = None
    hours: Line | None = None
    texts: Texts = Field(default_factory=Texts)
    part_sheets: list[Line] = Field(default_factory=list)


CONTACT = tuple(Workshop.model_fields)
"""Keys that a van file may have under `workshop`."""
TEXTS = "texts"
HOUSE = tuple(House.model_fields)
"""Keys that only a workshop file may have."""
