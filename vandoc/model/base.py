"""The base of all model classes and the types of their fields.

Attribute names carry the unit in which the model keeps a number (`length_m`); the van file's key does not
(`length: 4.2 m`), since the value does.
"""

import re
from typing import Annotated, Any

from pydantic import BaseModel, ConfigDict, Field, PlainValidator, StringConstraints, WithJsonSchema

from vandoc.units import KINDS, awg_size, number_in

_UNIT_SUFFIX = re.compile(r"_(m|mm2|cm2|a|v|w|ah|ohm|nm|c|h|deg|percent|percent_per_k|km)$")


def key_of(attribute: str) -> str:
    """Return the van file's key for an attribute: its name without the unit.

    Examples
    --------
    >>> key_of("length_m")
    'length'
    """
    return _UNIT_SUFFIX.sub("", attribute)


class Part(BaseModel):
    """Base: frozen, unknown keys refused, keys without units, numbers and truth values never read from text."""

    model_config = ConfigDict(
        frozen=True, extra="forbid", strict=True, alias_generator=key_of, validate_default=False
    )


def _quantity(
    kind: str, low: float | None = None, high: float | None = None, above: float | None = None
) -> Any:
    wanted = KINDS[kind]

    def read(value: object) -> float:
        if not isinstance(value, str):
            raise ValueError(f"{value!r} needs a unit; write it like {wanted.example!r}")
        number = number_in(kind, value)
        if above is not None and number <= above:
            raise ValueError(f"{value!r} must be more than {above:g}")
        if low is not None and number < low:
            raise ValueError(f"{value!r} must not be less than {low:g}")
        if high is not None and number > high:
            raise ValueError(f"{value!r} must not be more than {high:g}")
        return number

    schema = {
        "type": "string",
        "description": f"{wanted.article}, with its unit",
        "examples": [wanted.example],
    }
    return Annotated[float, PlainValidator(read), WithJsonSchema(schema)]


def _read_area(value: object) -> "float | str":
    if isinstance(value, str) and (gauge := awg_size(value)) is not None:
        return f"{gauge} AWG"
    return float(_area_number(value))


def _area_number(value: object) -> float:
    if not isinstance(value, str):
        raise ValueError(f"{value!r} needs a unit; write it like '35 mm²' or '2 AWG'")
    number = number_in("area", value)
    if not 0.05 <= number <= 1000:
        raise ValueError(f"{value!r} is no conductor size; write it like '35 mm²' or '2 AWG'")
    return number


Length = _quantity("length", low=0, high=1000)
Current = _quantity("current", low=0, high=100_000)
PositiveCurrent = _quantity("current", above=0, high=100_000)
Voltage = _quantity("voltage", above=0, high=1000)
Power = _quantity("power", low=0, high=1_000_000)
PositivePower = _quantity("power", above=0, high=1_000_000)
Capacity = _quantity("capacity", above=0, high=100_000)
Resistance = _quantity("resistance", above=0, high=1000)
Torque = _quantity("torque", above=0, high=1000)
Temperature = _quantity("temperature", low=-60, high=300)
HoursPerDay = _quantity("time", low=0, high=24)
Angle = _quantity("angle", low=-90, high=90)
Fraction = _quantity("fraction", above=0, high=100)
Coefficient = _quantity("coefficient", low=-5, high=5)
Opening = _quantity("opening", low=0, high=100_000)
Distance = _quantity("distance", low=0, high=10_000_000)
Area = Annotated[
    float | str,
    PlainValidator(_read_area),
    WithJsonSchema(
        {"type": "string", "description": "a cross-section, with its unit", "examples": ["35 mm²", "2 AWG"]}
    ),
]


def _one_line(limit: int) -> Any:
    return Annotated[
        str,
        StringConstraints(
            strip_whitespace=True, min_length=1, max_length=limit, pattern=r"^[^\x00-\x1f\x7f]*$"
        ),
    ]


Name = _one_line(80)
Line = _one_line(300)
Text = Annotated[str, StringConstraints(strip_whitespace=True, min_length=1, max_length=2000)]
Ident = Annotated[
    str,
    StringConstraints(pattern=r"^[a-z][a-z0-9]*(-[a-z0-9]+)*$", max_length=40),
    Field(description="lower-case words joined by hyphens"),
]
Terminal = Annotated[
    str,
    StringConstraints(pattern=r"^[a-z][a-z0-9-]*(\.[a-z0-9+-]+)?$", max_length=60),
    Field(
        description="a piece and its terminal, as in 'house.+'; a piece with one terminal needs its name only"
    ),
]
