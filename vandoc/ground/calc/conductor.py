"""Copper conductors: cross-section, resistance, conductor temperature."""

import re
from bisect import bisect_right
from dataclasses import dataclass
from functools import cache
from math import pi
from types import MappingProxyType

from vandoc.ground.calc.require import finite, not_negative, positive
from vandoc.ground.data import constant, rows

SAME_AREA = 1e-3  # areas in tables and van files are rounded to three or four figures


@dataclass(frozen=True)
class _Resistance:
    area_mm2: float
    ohm_per_km: float


IEC_60228 = MappingProxyType(
    {row.area_mm2: row.ohm_per_km for row in rows("conductor_resistance", _Resistance)}
)
"""Maximum DC resistance of class 5 conductors at 20 °C, by cross-section: mm² to Ω/km."""

STANDARD_AREAS_MM2 = tuple(sorted(IEC_60228))

AWG_SIZES = ("18", "16", "14", "12", "10", "8", "6", "4", "3", "2", "1", "1/0", "2/0", "3/0", "4/0")
"""The sizes of 33 CFR 183.425 Table 5, the smallest first."""


def awg_area_mm2(size: str) -> float:
    """Return the cross-section of a solid conductor of an American Wire Gauge (AWG) size.

    Parameters
    ----------
    size : str
        ``"4/0"`` to ``"1/0"``, or ``"1"`` to ``"40"``.

    Returns
    -------
    float
        Cross-section, scalar. [mm²]

    Raises
    ------
    ValueError
        If ``size`` is not an AWG size.

    Examples
    --------
    >>> round(awg_area_mm2("10"), 3), round(awg_area_mm2("4/0"), 1)
    (5.261, 107.2)

    References
    ----------
    .. [1] ASTM B258-18: diameter 0.127 mm · 92^((36 − n) / 39); 1/0 is n = 0, 4/0 is n = −3.
    """
    if match := re.fullmatch(r"([1-4])/0", size):
        number = 1 - int(match[1])
    elif re.fullmatch(r"[1-9]|[1-3][0-9]|40", size):
        number = int(size)
    else:
        raise ValueError(f"AWG size must be 4/0 to 1/0 or 1 to 40, got {size!r}")
    diameter_mm: float = 0.127 * 92.0 ** ((36 - number) / 39)
    return pi / 4 * diameter_mm**2


@cache
def awg_areas_mm2() -> tuple[float, ...]:
    """Return the cross-sections of `AWG_SIZES`, by ASTM B258. [mm²]"""
    return tuple(awg_area_mm2(size) for size in AWG_SIZES)


def size_name(area_mm2: float) -> str:
    """Return a cross-section as marked on a cable: the gauge if it is one of `AWG_SIZES`, otherwise mm².

    Examples
    --------
    >>> size_name(35.0), size_name(awg_area_mm2("2/0"))
    ('35 mm²', '2/0 AWG')
    """
    areas = awg_areas_mm2()
    if area_mm2 in areas:
        return f"{AWG_SIZES[areas.index(area_mm2)]} AWG"
    return f"{area_mm2:g} mm²"


def resistance_per_metre(area_mm2: float, temperature_c: float = 20.0) -> float:
    """Return the maximum DC resistance of a flexible (class 5) copper conductor.

    For a cross-section that is not in the table, the larger product of resistance and area of the adjacent
    rows applies, but never more than the listed resistance of the next smaller conductor.

    Parameters
    ----------
    area_mm2 : float
        Cross-section, scalar, 0.5 to 120. [mm²]
    temperature_c : float, optional
        Temperature of the conductor, scalar. [°C]

    Returns
    -------
    float
        Resistance of one metre of one conductor, scalar. [Ω/m]

    Raises
    ------
    ValueError
        If the cross-section is outside the table, or the temperature is not finite or below −234.5 °C.

    Examples
    --------
    >>> round(resistance_per_metre(10.0), 6), round(resistance_per_metre(10.0, 70.0), 6)
    (0.00191, 0.002285)

    References
    ----------
    .. [1] IEC 60228:2004, Table 3 (class 5, plain copper) and annex on temperature correction:
       R(T) = R(20 °C) · (234.5 + T) / 254.5.
    """
    positive("area_mm2", area_mm2)
    smallest, largest = STANDARD_AREAS_MM2[0], STANDARD_AREAS_MM2[-1]
    if not smallest <= area_mm2 <= largest:
        raise ValueError(f"area_mm2 must lie in {smallest:g} to {largest:g} (IEC 60228), got {area_mm2!r}")
    zero_c = constant("copper temperature constant").value
    if finite("temperature_c", temperature_c) <= -zero_c:
        raise ValueError(f"temperature_c must be above {-zero_c:g}, got {temperature_c!r}")
    return _class_5(area_mm2) / 1000 * (zero_c + temperature_c) / (zero_c + 20)


def _class_5(area_mm2: float) -> float:
    below = STANDARD_AREAS_MM2[bisect_right(STANDARD_AREAS_MM2, area_mm2) - 1]
    if area_mm2 == below:
        return IEC_60228[below]
    above = STANDARD_AREAS_MM2[bisect_right(STANDARD_AREAS_MM2, area_mm2)]
    resistivity = max(IEC_60228[area] * area for area in (below, above))
    return min(IEC_60228[below], resistivity / area_mm2)


def operating_temperature_c(
    ambient_c: float, insulation_c: float, current_a: float, capacity_at_ambient_a: float
) -> float:
    """Return the steady-state temperature of a conductor that carries a current.

    Heat rises with the square of the current and is lost in proportion to the rise above ambient, so the rise
    is (insulation − ambient) · (I / Iz)². Above the current-carrying capacity the result exceeds the rating.

    Parameters
    ----------
    ambient_c : float
        Ambient temperature, scalar, below ``insulation_c``. [°C]
    insulation_c : float
        Temperature rating of the insulation, scalar. [°C]
    current_a : float
        Current, scalar, at least 0. [A]
    capacity_at_ambient_a : float
        Current-carrying capacity at this ambient temperature, scalar, above 0. [A]

    Returns
    -------
    float
        Temperature of the conductor, scalar. [°C]

    Raises
    ------
    ValueError
        If a number is outside its domain.

    Examples
    --------
    >>> operating_temperature_c(30.0, 70.0, 50.0, 100.0)
    40.0

    References
    ----------
    .. [1] Steady-state heating with constant resistance; usual formula, from memory.
    """
    finite("ambient_c", ambient_c)
    if finite("insulation_c", insulation_c) <= ambient_c:
        raise ValueError(f"insulation_c must be above ambient_c, got {insulation_c!r} and {ambient_c!r}")
    not_negative("current_a", current_a)
    positive("capacity_at_ambient_a", capacity_at_ambient_a)
    return ambient_c + (insulation_c - ambient_c) * (current_a / capacity_at_ambient_a) ** 2


def iso_10133_drop_v(current_a: float, total_length_m: float, area_mm2: float) -> float:
    """Return the voltage drop by the formula of ISO 10133, for comparison only.

    Its resistivity is 14 to 18 % below the limits of IEC 60228 for class 5 conductors even at 20 °C, so it
    underestimates the drop; no check uses it.

    Parameters
    ----------
    current_a : float
        Current, scalar, at least 0. [A]
    total_length_m : float
        Conductor length, supply and return, scalar, at least 0. [m]
    area_mm2 : float
        Cross-section, scalar, above 0. [mm²]

    Returns
    -------
    float
        Voltage drop, scalar. [V]

    Raises
    ------
    ValueError
        If a number is outside its domain.

    Examples
    --------
    >>> round(iso_10133_drop_v(10.0, 10.0, 2.5), 3)
    0.656

    References
    ----------
    .. [1] ISO 10133:2012, Annex C: E = 0.0164 · I · L / S.
    """
    not_negative("current_a", current_a)
    not_negative("total_length_m", total_length_m)
    positive("area_mm2", area_mm2)
    return constant("ISO 10133 resistivity").value * current_a * total_length_m / area_mm2
