"""Base of all model classes, and the types of their fields.

Attribute names include the unit of a number (`length_m`); the van file's key does not
(`length: 4.2 m`), because its value does.
"""

import re
from dataclasses import dataclass
from typing import Annotated, Any, Literal

from pydantic import (
    AfterValidator,
    BaseModel,
    ConfigDict,
    GetCoreSchemaHandler,
    PlainValidator,
    StringConstraints,
    ValidatorFunctionWrapHandler,
    WithJsonSchema,
)
from pydantic_core import CoreSchema
from pydantic_core.core_schema import no_info_plain_validator_function, no_info_wrap_validator_function

from vandoc.ground.calc.conductor import STANDARD_AREAS_MM2, awg_area_mm2
from vandoc.ground.likeness import is_blank
from vandoc.ground.messages import Messages
from vandoc.ground.units import KINDS, QuantityKind, awg_size, number_in
from vandoc.ground.unknown import UNKNOWN, UNKNOWN_TEXT
from vandoc.ground.unknown import WORD as UNKNOWN_WORD
from vandoc.model.traits import FittedFamily

say = Messages("vandoc.model", "faults").say

_UNIT_SUFFIX = re.compile(r"_(m|mm2|cm2|a|v|w|ah|ohm|nm|c|h|deg|percent|percent_per_k|km|kg)$")


def key_of(attribute: str) -> str:
    """Return the van file's key for an attribute: its name without the unit.

    Examples
    --------
    >>> key_of("length_m")
    'length'
    """
    return _UNIT_SUFFIX.sub("", attribute)


class StrictModel(BaseModel):
    """Base: frozen, rejects unknown keys, keys without units, quantities only parsed from text."""

    model_config = ConfigDict(
        frozen=True,
        extra="forbid",
        strict=True,
        defer_build=True,
        alias_generator=key_of,
        validate_default=False,
    )


CALCULATED = "calculated"
"""Key beside a size that vandoc calculated and wrote."""

Decided = Literal["nights", "charging", "alike", "need", "battery", "alternator", "panels", "none fits"]
"""Reason for the size of a proposed battery or charger."""


@dataclass(frozen=True)
class ProposedNumber:
    """Proposed number for a value that the van file leaves open.

    Attributes
    ----------
    value : float
        In the unit of its attribute.
    decided : str
    figures : tuple of (str, float)
        Figures used for the proposal, by name; the name includes the unit.
    """

    value: float
    decided: Decided
    figures: tuple[tuple[str, float], ...] = ()


@dataclass(frozen=True)
class QuantityField:
    """Field metadata: the value is text with a number and a unit of one kind, kept as a float in one unit.

    An `unknowable` one takes `unknown` too: fitted, but nobody knows it.
    """

    kind: str
    low: float | None = None
    high: float | None = None
    above: float | None = None
    unknowable: bool = False

    def __call__(self, value: object) -> float:
        kind = KINDS[self.kind]
        if value == UNKNOWN_WORD:
            return _unknown(self.unknowable)
        if not isinstance(value, str):
            raise ValueError(f"{_fault_of(value, kind)}; {kind.how}")
        number = number_in(self.kind, value)
        if self.above is not None and number <= self.above:
            raise ValueError(say("base.not_above", value=value, above=kind.shown(self.above)))
        if self.low is not None and number < self.low:
            raise ValueError(say("base.below_minimum", value=value, low=kind.shown(self.low)))
        if self.high is not None and number > self.high:
            raise ValueError(say("base.above_maximum", value=value, high=kind.shown(self.high)))
        return number

    def __get_pydantic_core_schema__(self, _source: Any, _handler: GetCoreSchemaHandler) -> CoreSchema:
        return no_info_plain_validator_function(self)

    def __get_pydantic_json_schema__(self, _schema: CoreSchema, _handler: Any) -> dict[str, Any]:
        wanted = KINDS[self.kind]
        return {
            "type": "string",
            "description": say("base.with_unit", article=wanted.article),
            "examples": [wanted.example, *([UNKNOWN_WORD] if self.unknowable else [])],
        }


@dataclass(frozen=True)
class Unknowable:
    """Field metadata: the value may also be `unknown`; then it is this one."""

    value: Any

    def __get_pydantic_core_schema__(self, source: Any, handler: GetCoreSchemaHandler) -> CoreSchema:
        def unless_unknown(value: Any, known: ValidatorFunctionWrapHandler) -> Any:
            return self.value if value == UNKNOWN_WORD else known(value)

        return no_info_wrap_validator_function(unless_unknown, handler(source))

    def __get_pydantic_json_schema__(self, schema: CoreSchema, handler: Any) -> dict[str, Any]:
        return {"anyOf": [handler(schema), {"const": UNKNOWN_WORD}]}


@dataclass(frozen=True)
class Described:
    """Field metadata: what an editor shows of each value of a type, by its key in the catalogue."""

    key: str

    def __get_pydantic_json_schema__(self, schema: CoreSchema, handler: Any) -> dict[str, Any]:
        return {**handler(schema), "description": say(f"type.{self.key}")}


def _unknown(unknowable: bool) -> float:
    if not unknowable:
        raise ValueError(say("base.not_unknown"))
    return UNKNOWN


def _fault_of(value: object, kind: QuantityKind) -> str:
    if value is None:
        return say("base.value_missing")
    if isinstance(value, int | float) and not isinstance(value, bool):
        return say("base.needs_unit", value=value)
    return say("base.not_of_kind", article=kind.article)


def _read_area(value: object) -> float | str:
    smallest, largest = STANDARD_AREAS_MM2[0], STANDARD_AREAS_MM2[-1]
    if value == UNKNOWN_WORD:
        return _unknown(False)
    if isinstance(value, str) and (gauge := awg_size(value)) is not None:
        if not smallest <= awg_area_mm2(gauge) <= largest:
            raise ValueError(say("base.no_cable_size", value=value, smallest=smallest, largest=largest))
        return f"{gauge} AWG"
    return QuantityField("area", low=smallest, high=largest)(value)


def _read_fitted_area(value: object) -> float | str:
    return UNKNOWN if value == UNKNOWN_WORD else _read_area(value)


def _visible(text: str) -> str:
    if is_blank(text):
        raise ValueError(say("base.nothing_visible"))
    return text


Length = Annotated[float, QuantityField("length", low=0, high=1000)]
RunLength = Annotated[float, QuantityField("length", low=0, high=1000, unknowable=True)]
Current = Annotated[float, QuantityField("current", low=0, high=100_000)]
PositiveCurrent = Annotated[float, QuantityField("current", above=0, high=100_000)]
Rating = Annotated[float, QuantityField("current", above=0, high=100_000, unknowable=True)]
AlternatorCurrent = Annotated[float, QuantityField("current", above=0, high=1000)]
Voltage = Annotated[float, QuantityField("voltage", above=0, high=1000)]
Power = Annotated[float, QuantityField("power", low=0, high=1_000_000)]
LoadPower = Annotated[float, QuantityField("power", above=0, high=1_000_000, unknowable=True)]
PositivePower = Annotated[float, QuantityField("power", above=0, high=1_000_000)]
Capacity = Annotated[float, QuantityField("capacity", above=0, high=100_000, unknowable=True)]
Resistance = Annotated[float, QuantityField("resistance", above=0, high=1000)]
Torque = Annotated[float, QuantityField("torque", above=0, high=1000)]
Temperature = Annotated[float, QuantityField("temperature", low=-60, high=300)]
Insulation = Annotated[float, QuantityField("temperature", low=-60, high=300, unknowable=True)]
Duration = Annotated[float, QuantityField("time", above=0, high=24)]
HoursPerDay = Annotated[float, QuantityField("time", low=0, high=24)]
StartTime = Annotated[float, QuantityField("time", above=0, high=1)]
Angle = Annotated[float, QuantityField("angle", low=-90, high=90)]
Fraction = Annotated[float, QuantityField("fraction", above=0, high=100)]
Overload = Annotated[float, QuantityField("fraction", low=100, high=300)]
Share = Annotated[float, QuantityField("fraction", low=0, high=100)]
Coefficient = Annotated[float, QuantityField("coefficient", low=-5, high=5)]
Compensation = Annotated[float, QuantityField("compensation", low=-1000, high=1000)]
Force = Annotated[float, QuantityField("force", above=0, high=100_000)]
Opening = Annotated[float, QuantityField("opening", low=0, high=100_000)]
Mass = Annotated[float, QuantityField("mass", low=0, high=10_000)]
Distance = Annotated[float, QuantityField("distance", low=0, high=10_000_000)]
Area = Annotated[
    float | str,
    PlainValidator(_read_area),
    WithJsonSchema(
        {
            "type": "string",
            "examples": ["35 mm²", "2 AWG"],
        }
    ),
    Described("area"),
]
FittedArea = Annotated[
    float | str,
    PlainValidator(_read_fitted_area),
    WithJsonSchema({"type": "string", "examples": ["35 mm²", "2 AWG", UNKNOWN_WORD]}),
    Described("area"),
]
Family = Annotated[FittedFamily, Unknowable(UNKNOWN_TEXT)]
ONE_LINE = r"^[^\x00-\x1f\x7f]*$"
_VISIBLE = AfterValidator(_visible)
Name = Annotated[
    str, StringConstraints(strip_whitespace=True, min_length=1, max_length=80, pattern=ONE_LINE), _VISIBLE
]
Line = Annotated[
    str, StringConstraints(strip_whitespace=True, min_length=1, max_length=300, pattern=ONE_LINE), _VISIBLE
]
Text = Annotated[str, StringConstraints(strip_whitespace=True, min_length=1, max_length=2000), _VISIBLE]
Ident = Annotated[
    str,
    StringConstraints(pattern=r"^[a-z][a-z0-9]*(-[a-z0-9]+)*$", max_length=40),
    Described("ident"),
]
Language = Annotated[str, StringConstraints(pattern=r"^[a-z]{2}$")]
Terminal = Annotated[
    str,
    StringConstraints(pattern=r"^[a-z][a-z0-9-]*(\.[a-z0-9+-]+)?$", max_length=60),
    Described("terminal"),
]
