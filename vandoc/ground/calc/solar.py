"""Photovoltaic strings and arrays: open-circuit voltage at low temperature, short-circuit current, sizes."""

from dataclasses import dataclass

from vandoc.ground.calc.require import count, finite, not_negative, positive
from vandoc.ground.data import constant

ABSOLUTE_ZERO_C = -273.15


@dataclass(frozen=True)
class PowerRange:
    """Array power that a controller of a small roof array is usually designed for. [W]"""

    low_w: float
    high_w: float
    source: str
    from_memory: bool


def voc_at(voc_v: float, coefficient_percent_per_k: float, temperature_c: float) -> float:
    """Return the open-circuit voltage of a module at a cell temperature other than 25 °C.

    Parameters
    ----------
    voc_v : float
        Open-circuit voltage at 25 °C, scalar, above 0. [V]
    coefficient_percent_per_k : float
        Temperature coefficient of that voltage, scalar, at most 0: silicon gains voltage as it cools, and a
        positive sign would hide that. [%/K]
    temperature_c : float
        Cell temperature, scalar, above absolute zero. [°C]

    Returns
    -------
    float
        Voltage, scalar, never below 0. [V]

    Raises
    ------
    ValueError
        If a number is outside its domain.

    Examples
    --------
    >>> round(voc_at(20.0, -0.3, -15.0), 6)
    22.4

    References
    ----------
    .. [1] IEC 60891: linear temperature correction of the open-circuit voltage; from memory.
    """
    positive("voc_v", voc_v)
    if finite("coefficient_percent_per_k", coefficient_percent_per_k) > 0:
        raise ValueError(f"coefficient_percent_per_k must not be positive, got {coefficient_percent_per_k!r}")
    if finite("temperature_c", temperature_c) <= ABSOLUTE_ZERO_C:
        raise ValueError(f"temperature_c must be above {ABSOLUTE_ZERO_C}, got {temperature_c!r}")
    rise_k = temperature_c - constant("standard test temperature").value
    return max(0.0, voc_v * (1 + coefficient_percent_per_k / 100 * rise_k))


def string_voc_v(series: int, voc_v: float, coefficient_percent_per_k: float, temperature_c: float) -> float:
    """Return the open-circuit voltage of identical modules in series.

    Parameters
    ----------
    series : int
        Modules in series, scalar, at least 1. [1]
    voc_v, coefficient_percent_per_k, temperature_c : float
        Of one module, as for :func:`voc_at`. [V], [%/K], [°C]

    Returns
    -------
    float
        Voltage, scalar. [V]

    Raises
    ------
    ValueError
        As :func:`voc_at`, and if ``series`` is not a whole number of at least 1.

    Examples
    --------
    >>> round(string_voc_v(2, 20.0, -0.3, -15.0), 6)
    44.8

    References
    ----------
    .. [1] As :func:`voc_at`; voltages in series add up.
    """
    return count("series", series) * voc_at(voc_v, coefficient_percent_per_k, temperature_c)


def array_isc_a(parallel: int, isc_a: float) -> float:
    """Return the short-circuit current of identical strings in parallel.

    Parameters
    ----------
    parallel : int
        Strings in parallel, scalar, at least 1. [1]
    isc_a : float
        Short-circuit current of one string, scalar, at least 0. [A]

    Returns
    -------
    float
        Current at standard test conditions, scalar. [A]

    Raises
    ------
    ValueError
        If a number is outside its domain.

    Examples
    --------
    >>> array_isc_a(2, 6.0)
    12.0

    References
    ----------
    .. [1] Currents in parallel add up.
    """
    return count("parallel", parallel) * not_negative("isc_a", isc_a)


def design_current_a(array_isc_a: float) -> float:
    """Return the design current of array cables: irradiance can exceed that of the standard test.

    Parameters
    ----------
    array_isc_a : float
        Short-circuit current of the array, scalar, at least 0. [A]

    Returns
    -------
    float
        Current, scalar. [A]

    Raises
    ------
    ValueError
        If the current is not a number of at least 0.

    Examples
    --------
    >>> design_current_a(12.0)
    15.0

    References
    ----------
    .. [1] IEC 62548: 1.25 times the short-circuit current; from memory.
    """
    return constant("photovoltaic current margin").value * not_negative("array_isc_a", array_isc_a)


def array_power_range() -> PowerRange:
    """Return the usual array power for the controller of a small roof array.

    Examples
    --------
    >>> array_power_range().low_w, array_power_range().high_w
    (50.0, 300.0)

    References
    ----------
    .. [1] Common practice, no source.
    """
    low = constant("smallest array of a small controller")
    high = constant("largest array of a small controller")
    return PowerRange(low.value, high.value, low.source, low.from_memory or high.from_memory)
