"""The only pint registry, and the only place where text is converted to a number.

The registry is defined here rather than loaded with pint's full list: a van file needs few units, the full
list takes longer to load than a whole van, and a mistyped unit must not become some obscure valid one. The
units that most van files use are a table, since loading pint takes a fifth of the time of `check`.
"""

import re
from dataclasses import dataclass
from functools import cache
from math import isfinite
from typing import TYPE_CHECKING

from vandoc.ground.messages import ModuleMessages

if TYPE_CHECKING:
    import pint

say = ModuleMessages(__file__).say

_DEFINITIONS = """
milli- = 1e-3 = m-
centi- = 1e-2 = c-
kilo- = 1e3 = k-
meter = [length] = m = metre
inch = 0.0254 * meter = in
foot = 0.3048 * meter = ft
mile = 5280 * foot = mi
gram = [mass] = g
pound = 453.59237 * gram = lb
kcmil = 0.506707479e-6 * meter ** 2 = kcmil
second = [time] = s
minute = 60 * second = min
hour = 60 * minute = h
day = 24 * hour = d
ampere = [current] = A
kelvin = [temperature]; offset: 0 = K
degree_Celsius = kelvin; offset: 273.15 = °C = degreeC
degree_Fahrenheit = 5 / 9 * kelvin; offset: 255.37222222222222 = °F = degreeF
newton = kilogram * meter / second ** 2 = N
pound_force = 4.4482216152605 * newton = lbf
watt = newton * meter / second = W
volt = watt / ampere = V
ohm = volt / ampere = Ω
ampere_hour = ampere * hour = Ah
watt_hour = watt * hour = Wh
percent = 0.01 = %
degree = [angle] = °
newton_meter = newton * meter = Nm
"""


@dataclass(frozen=True)
class QuantityKind:
    """Kind of quantity that a van file can state.

    Attributes
    ----------
    unit : str
        Unit in which the model keeps it.
    name : str
        Its name in the catalogue.
    example : str
        Example of a valid value.
    gauge : str
        Example of a valid gauge, if it has one.
    """

    unit: str
    name: str
    example: str
    gauge: str = ""

    @property
    def article(self) -> str:
        """Its name in an error: "a length"."""
        return say(f"article.{self.name}")

    @property
    def how(self) -> str:
        """Remedy for an error message."""
        if self.gauge:
            return say("how_with_gauge", example=self.example, gauge=self.gauge)
        return say("how", example=self.example)

    def shown(self, number: float) -> str:
        """Format a number of this kind with its unit, as shown in errors.

        Examples
        --------
        >>> KINDS["area"].shown(120.0)
        '120 mm²'
        """
        return f"{number:g} {registry().Unit(self.unit):~P}"


KINDS = {
    "length": QuantityKind("m", "length", "4.2 m"),
    "area": QuantityKind("mm**2", "area", "35 mm²", "2 AWG"),
    "opening": QuantityKind("cm**2", "opening", "60 cm²"),
    "current": QuantityKind("A", "current", "30 A"),
    "voltage": QuantityKind("V", "voltage", "12 V"),
    "power": QuantityKind("W", "power", "60 W"),
    "capacity": QuantityKind("Ah", "capacity", "100 Ah"),
    "resistance": QuantityKind("ohm", "resistance", "3 mΩ"),
    "torque": QuantityKind("N*m", "torque", "7 N·m"),
    "temperature": QuantityKind("degree_Celsius", "temperature", "40 °C"),
    "time": QuantityKind("h", "time", "1.5 h"),
    "angle": QuantityKind("degree", "angle", "52 °"),
    "fraction": QuantityKind("percent", "fraction", "90 %"),
    "coefficient": QuantityKind("percent/K", "coefficient", "-0.28 %/K"),
    "compensation": QuantityKind("mV/K", "compensation", "-24 mV/K"),
    "force": QuantityKind("N", "force", "400 N"),
    "mass": QuantityKind("kg", "mass", "85 kg"),
    "distance": QuantityKind("km", "distance", "84000 km"),
}

USUAL: dict[str, dict[str, float]] = {
    "length": {"m": 1.0, "cm": 0.01, "mm": 0.001},
    "area": {"mm²": 1.0},
    "opening": {"cm²": 1.0},
    "current": {"A": 1.0, "mA": 0.001, "kA": 1000.0},
    "voltage": {"V": 1.0, "mV": 0.001},
    "power": {"W": 1.0, "kW": 1000.0},
    "capacity": {"Ah": 1.0},
    "resistance": {"Ω": 1.0, "mΩ": 0.001, "kΩ": 1000.0},
    "torque": {"N·m": 1.0, "Nm": 1.0},
    "temperature": {"°C": 1.0},
    "time": {"h": 1.0, "min": 1 / 60, "s": 1 / 3600, "ms": 1 / 3.6e6, "day": 24.0, "days": 24.0},
    "angle": {"°": 1.0},
    "fraction": {"%": 1.0},
    "coefficient": {"%/K": 1.0},
    "compensation": {"mV/K": 1.0},
    "force": {"N": 1.0},
    "mass": {"kg": 1.0},
    "distance": {"km": 1.0},
}
"""Usual units by kind, with the factor to the unit in which the model keeps it; the rest is pint's."""

_FACTOR = r"(?:[%°]|°?[^\W\d_]{1,14})(?:[²³23]|(?:\^|\*\*)[23])?"  # no higher powers: none is needed
_TEXT = re.compile(
    rf"([+\-−]?[0-9]{{1,9}}(?:\.[0-9]{{1,9}})?)\s*({_FACTOR}(?:[·*/]{_FACTOR}){{0,3}})"  # such as 7 N·m
)
_SQUARE = re.compile(r"\b(mm|cm|m)2\b")  # "35 mm2" is a common way to type it
_AWG = re.compile(r"([0-9]{1,2}|[1-4]/0)\s*AWG")


@cache
def registry() -> "pint.UnitRegistry[float]":
    """Registry of the units above, created on first use."""
    import pint

    ureg: pint.UnitRegistry[float] = pint.UnitRegistry(None, cache_folder=None)
    ureg.load_definitions(_DEFINITIONS.strip().splitlines())
    return ureg


@cache
def number_in(kind: str, text: str) -> float:
    """Parse a quantity.

    Parameters
    ----------
    kind : str
        A key of `KINDS`.
    text : str
        Text from a van file, such as ``"4.2 m"``.

    Returns
    -------
    float
        The number in the unit of that kind.

    Raises
    ------
    ValueError
        If the text is not a number with a unit, or the unit has another dimension.

    Examples
    --------
    >>> number_in("area", "35 mm²")
    35.0
    >>> round(number_in("length", "12 in"), 4)
    0.3048
    """
    wanted = KINDS[kind]
    match = _TEXT.fullmatch(text.strip())
    if match is None:
        raise ValueError(say("no_quantity", text=text, how=wanted.how))
    number, unit = float(match[1].replace("−", "-")), _SQUARE.sub(r"\1²", match[2])
    factor = USUAL[kind].get(unit)
    value = number * factor if factor is not None else _by_pint(number, unit, text, wanted)
    if not isfinite(value):
        raise ValueError(say("too_large", text=text, how=wanted.how))
    return round(value, 12)


def _by_pint(number: float, unit: str, text: str, wanted: QuantityKind) -> float:
    from pint import PintError

    try:
        return float(registry().Quantity(number, unit).to(wanted.unit).magnitude)
    except (PintError, ArithmeticError, ValueError, TypeError, AttributeError, AssertionError) as error:
        raise ValueError(say("other_kind", text=text, article=wanted.article, how=wanted.how)) from error


def awg_size(text: str) -> str | None:
    """Return the gauge in text such as ``"10 AWG"`` or ``"2/0 AWG"``, or None if it is not a gauge."""
    match = _AWG.fullmatch(text.strip())
    return match[1] if match else None
