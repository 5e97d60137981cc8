"""The system of units that figures and words are in: metric, or that of the United States.

Everything is calculated in metric units; what a reader sees is converted here and nowhere else.
"""

import re
from collections.abc import Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import dataclass
from typing import Literal

Measures = Literal["metric", "US"]

METRIC: Measures = "metric"

MM2_PER_KCMIL = 0.506707479  # a circle of 0.001 in by definition times 1000 (NIST SP 811, Appendix B.8)
M_PER_FT = 0.3048  # exactly (international yard and pound agreement of 1959)
KG_PER_LB = 0.45359237  # exactly (the same agreement)
N_PER_LBF = KG_PER_LB * 9.80665  # exactly (NIST SP 811)


@dataclass(frozen=True)
class Other:
    """What a metric unit is in the other system: ``value * factor + offset``, in `unit`."""

    unit: str
    factor: float
    offset: float = 0.0


US: dict[str, Other] = {
    "°C": Other("°F", 1.8, 32.0),
    "K": Other("°F", 1.8),
    "%/K": Other("%/°F", 1 / 1.8),
    "mV/K": Other("mV/°F", 1 / 1.8),
    "m": Other("ft", 1 / M_PER_FT),
    "cm": Other("in", 0.12 / M_PER_FT),
    "mm": Other("in", 0.012 / M_PER_FT),
    "cm²": Other("in²", (0.12 / M_PER_FT) ** 2),
    "mm²": Other("kcmil", 1 / MM2_PER_KCMIL),
    "mm²·m": Other("kcmil·ft", 1 / (MM2_PER_KCMIL * M_PER_FT)),
    "mΩ/m": Other("mΩ/ft", M_PER_FT),
    "kg": Other("lb", 1 / KG_PER_LB),
    "N": Other("lbf", 1 / N_PER_LBF),
    "N·m": Other("lbf·ft", 1 / (N_PER_LBF * M_PER_FT)),
    "km": Other("mi", 1 / (5.28 * M_PER_FT)),
}
"""By the symbol of the metric unit. Areas of conductors without a gauge are in thousands of circular mils."""

_OTHERS = {
    **{
        other.unit: (unit, 1 / other.factor, -other.offset / other.factor)
        for unit, other in US.items()
        if unit != "K"
    },
    "lbf·in": ("N·m", N_PER_LBF * M_PER_FT / 12, 0.0),
    "in·lbf": ("N·m", N_PER_LBF * M_PER_FT / 12, 0.0),
    "ft·lbf": ("N·m", N_PER_LBF * M_PER_FT, 0.0),
}
"""The way back: by the symbol, the metric unit, and what a value is in it."""

_measures: ContextVar[Measures] = ContextVar("_measures", default=METRIC)
_UNITS = "|".join(sorted(map(re.escape, US), key=len, reverse=True))
_FIGURE = re.compile(rf"(?<![\w.])([−-]?\d+(?:\.\d+)?)([ \u00a0])({_UNITS})(?![\w²³·/{{])")
_FAHRENHEIT = re.compile(r"(?<![\w.])[−-]?\d+(?:\.\d+)?[ \u00a0]°F")
_VALUE = re.compile(r"([+\-−]?\d+(?:\.\d+)?)([ \u00a0]?)([^\d\s]+)")
_HEADING = re.compile(rf"\[({_UNITS})\]")


def measures() -> Measures:
    """Return the system of units in use now."""
    return _measures.get()


@contextmanager
def measuring_in(system: Measures) -> Iterator[None]:
    """Use a system of units inside."""
    token = _measures.set(system)
    try:
        yield
    finally:
        _measures.reset(token)


def measured(value: float, unit: str) -> tuple[float, str]:
    """Return a value and its unit in the system in use.

    Examples
    --------
    >>> with measuring_in("US"):
    ...     measured(40.0, "°C"), measured(25.0, "A")
    ((104.0, '°F'), (25.0, 'A'))
    """
    other = US.get(unit) if _measures.get() != METRIC else None
    return (value, unit) if other is None else (value * other.factor + other.offset, other.unit)


def measure(unit: str) -> str:
    """Return what a metric unit is in the system in use."""
    return measured(0.0, unit)[1]


def in_house(text: str) -> str:
    """Return words with their figures in the system in use: three digits, units in brackets or alone.

    For words of our own and for sources only; what a van file says stays as it is.

    Examples
    --------
    >>> with measuring_in("US"):
    ...     in_house("below 45 °C, within 300 mm"), in_house("Length [m]")
    ('below 113 °F, within 11.8 in', 'Length [ft]')
    """
    if _measures.get() == METRIC:
        return _FAHRENHEIT.sub(lambda match: value_in_house(match[0]), text)

    if text in US:
        return measure(text)

    def figure(match: re.Match[str]) -> str:
        value, unit = measured(float(match[1].replace("−", "-")), match[3])
        return f"{value:.3g}".replace("-", "−") + match[2] + unit

    return _HEADING.sub(lambda match: f"[{measure(match[1])}]", _FIGURE.sub(figure, text))


def value_in_house(text: str) -> str:
    """Return a value as somebody wrote it, in the system in use; any other text as it is.

    Examples
    --------
    >>> value_in_house("62 lbf·in"), value_in_house("9 N·m"), value_in_house("in the box")
    ('7.01 N·m', '9 N·m', 'in the box')
    """
    match = _VALUE.fullmatch(text.strip())
    if match is None:
        return text
    value, unit = float(match[1].replace("−", "-")), match[3]
    if _measures.get() == METRIC:
        if unit not in _OTHERS:
            return text
        other, factor, offset = _OTHERS[unit]
        value, unit = value * factor + offset, other
    elif unit in US:
        value, unit = measured(value, unit)
    else:
        return text
    return f"{value:.3g}".replace("-", "−") + (match[2] or " ") + unit
