"""Solar geometry: declination, day length, irradiation outside the atmosphere and under a clear sky.

Southern latitudes are negative; hour angles are 0 at noon and positive in the afternoon.
"""

from calendar import monthrange
from functools import cache
from math import acos, asin, cos, degrees, exp, fsum, pi, radians, sin, tan
from typing import Literal

from vandoc.ground.calc.require import finite
from vandoc.ground.data import constant

DeclinationMethod = Literal["almanac", "cooper"]
MONTH_DAYS = tuple(monthrange(2025, month)[1] for month in range(1, 13))
_DAYS_BEFORE = 9130.64  # from noon of 1 January 2000 to the start of the year, mean of 2025 to 2028
_STEPS = 288  # of five minutes each
_RISEN_DEG = -0.8333  # solar semi-diameter and refraction at the horizon


def declination_deg(day: int, method: DeclinationMethod = "almanac") -> float:
    """Return the declination of the sun.

    Parameters
    ----------
    day : int
        Day of the year, scalar, 1 to 366. [1]
    method : {"almanac", "cooper"}
        The almanac's formula, averaged over four years, is accurate to 0.15° because of leap years;
        Cooper's sine, used in the classic tables, to 1.1°.

    Returns
    -------
    float
        Angle north of the equator, scalar. [°]

    Raises
    ------
    ValueError
        If the day or the method is not known.

    Examples
    --------
    >>> round(declination_deg(172), 2), round(declination_deg(172, "cooper"), 2)
    (23.44, 23.45)

    References
    ----------
    .. [1] The Astronomical Almanac, low-precision formulas for the Sun; from memory.
    .. [2] Cooper, The absorption of radiation in solar stills, Solar Energy 12 (1969), p. 333.
    """
    if method == "cooper":
        return 23.45 * sin(2 * pi * (284 + _day(day)) / 365)
    if method != "almanac":
        raise ValueError(f"method must be 'almanac' or 'cooper', got {method!r}")
    days = _DAYS_BEFORE + _day(day)
    anomaly = radians(357.528 + 0.9856003 * days)
    longitude = radians(280.460 + 0.9856474 * days + 1.915 * sin(anomaly) + 0.020 * sin(2 * anomaly))
    obliquity = radians(23.439 - 0.0000004 * days)
    return degrees(asin(sin(obliquity) * sin(longitude)))


def extraterrestrial_w(day: int) -> float:
    """Return the irradiance outside the atmosphere on a plane that faces the sun.

    Parameters
    ----------
    day : int
        Day of the year, scalar, 1 to 366. [1]

    Returns
    -------
    float
        Irradiance, scalar. [W/m²]

    Raises
    ------
    ValueError
        If there is no such day.

    Examples
    --------
    >>> round(extraterrestrial_w(3)), round(extraterrestrial_w(185))
    (1412, 1322)

    References
    ----------
    .. [1] Duffie and Beckman, Solar Engineering of Thermal Processes, eq. 1.4.1a:
       Gsc · (1 + 0.033 cos(2πn/365)).
    """
    return constant("solar constant").value * (1 + 0.033 * cos(2 * pi * _day(day) / 365))


def sunset_deg(latitude_deg: float, declination_deg: float) -> float:
    """Return the sunset hour angle; day length is twice this angle, at 15° an hour.

    Parameters
    ----------
    latitude_deg, declination_deg : float
        Scalars, within ±90 and ±23.5. [°]

    Returns
    -------
    float
        Angle, scalar; 0 where the sun does not rise, 180 where it does not set. [°]

    Raises
    ------
    ValueError
        If the latitude is outside ±90.

    Examples
    --------
    >>> round(sunset_deg(50.0, 0.0)), round(sunset_deg(50.0, 23.45)), sunset_deg(70.0, -23.0)
    (90, 121, 0.0)

    References
    ----------
    .. [1] Duffie and Beckman, eq. 1.6.10.
    """
    cosine = -tan(_latitude(latitude_deg)) * tan(radians(finite("declination_deg", declination_deg)))
    return degrees(acos(max(-1.0, min(1.0, cosine))))


def extraterrestrial_kwh(latitude_deg: float, day: int, method: DeclinationMethod = "almanac") -> float:
    """Return the daily extraterrestrial irradiation on a horizontal surface: H0.

    Parameters
    ----------
    latitude_deg : float
        Scalar, within ±90. [°]
    day : int
        Day of the year, scalar, 1 to 366. [1]
    method : {"almanac", "cooper"}
        As for :func:`declination_deg`.

    Returns
    -------
    float
        Irradiation, scalar. [kWh/m²]

    Raises
    ------
    ValueError
        If an argument is outside its domain.

    Examples
    --------
    >>> round(3.6 * extraterrestrial_kwh(43.0, 105, "cooper"), 1)  # in MJ/m²: the example beside the formula
    33.8

    References
    ----------
    .. [1] Duffie and Beckman, eq. 1.10.3 and Example 1.10.1.
    """
    tilt, phi = radians(declination_deg(day, method)), _latitude(latitude_deg)
    sunset = radians(sunset_deg(latitude_deg, degrees(tilt)))
    mean = cos(phi) * cos(tilt) * sin(sunset) + sunset * sin(phi) * sin(tilt)
    return 24 / pi * extraterrestrial_w(day) * mean / 1000


@cache
def month_extraterrestrial_kwh(
    latitude_deg: float, month: int, method: DeclinationMethod = "almanac"
) -> float:
    """Return the mean of :func:`extraterrestrial_kwh` over all days of a month.

    Parameters
    ----------
    latitude_deg : float
        Scalar, within ±90. [°]
    month : int
        Scalar, 1 to 12. [1]
    method : {"almanac", "cooper"}
        As for :func:`declination_deg`.

    Returns
    -------
    float
        Daily irradiation, scalar. [kWh/m²]

    Raises
    ------
    ValueError
        If an argument is outside its domain.

    Examples
    --------
    >>> round(3.6 * month_extraterrestrial_kwh(50.0, 6, "cooper"), 1)
    41.5

    References
    ----------
    .. [1] Duffie and Beckman, Table 1.10.1, which uses Cooper's declination.
    """
    days = days_of(month)
    return fsum(extraterrestrial_kwh(latitude_deg, day, method) for day in days) / len(days)


def days_of(month: int) -> range:
    """Return the days of the year in a month of a common year; raise ValueError for another number.

    Examples
    --------
    >>> days_of(2)
    range(32, 60)
    """
    if month not in range(1, 13):
        raise ValueError(f"month must be 1 to 12, got {month!r}")
    first = 1 + sum(MONTH_DAYS[: month - 1])
    return range(first, first + MONTH_DAYS[month - 1])


def height_deg(latitude_deg: float, declination_deg: float, hour_angle_deg: float) -> float:
    """Return the altitude of the sun above the horizon.

    Parameters
    ----------
    latitude_deg, declination_deg, hour_angle_deg : float
        Scalars. [°]

    Returns
    -------
    float
        Angle, scalar, negative below the horizon. [°]

    Raises
    ------
    ValueError
        If the latitude is outside ±90 or a number is not finite.

    Examples
    --------
    >>> round(height_deg(50.0, 23.45, 0.0), 2)
    63.45

    References
    ----------
    .. [1] Duffie and Beckman, eq. 1.6.5.
    """
    phi, tilt = _latitude(latitude_deg), radians(finite("declination_deg", declination_deg))
    turn = radians(finite("hour_angle_deg", hour_angle_deg))
    sine = cos(phi) * cos(tilt) * cos(turn) + sin(phi) * sin(tilt)
    return degrees(asin(max(-1.0, min(1.0, sine))))


def refraction_deg(height_deg: float) -> float:
    """Return the atmospheric refraction of the sun's altitude, at 10 °C and 1010 hPa.

    Parameters
    ----------
    height_deg : float
        Altitude of the sun without refraction, scalar, within ±90. [°]

    Returns
    -------
    float
        Angle, scalar; 0 if the sun remains below the horizon even so. [°]

    Raises
    ------
    ValueError
        If the height is outside ±90.

    Examples
    --------
    >>> round(refraction_deg(0.0), 2), round(refraction_deg(15.0), 2), refraction_deg(-2.0)
    (0.48, 0.06, 0.0)

    References
    ----------
    .. [1] Reda and Andreas, Solar Position Algorithm, NREL/TP-560-34302, 2003, eq. 42.
    """
    if abs(finite("height_deg", height_deg)) > 90:
        raise ValueError(f"height_deg must be within ±90, got {height_deg!r}")
    if height_deg < _RISEN_DEG:
        return 0.0
    return 1.02 / 60 / tan(radians(height_deg + 10.3 / (height_deg + 5.11)))


def clear_sky_w(height_deg: float) -> float:
    """Return the irradiance on a horizontal surface under a clear sky.

    Parameters
    ----------
    height_deg : float
        Altitude of the sun, scalar. [°]

    Returns
    -------
    float
        Irradiance, scalar, 0 while the sun is down. [W/m²]

    Raises
    ------
    ValueError
        If the height is not a finite number.

    Examples
    --------
    >>> round(clear_sky_w(60.0)), clear_sky_w(-3.0)
    (888, 0.0)

    References
    ----------
    .. [1] Haurwitz, Insolation in relation to cloudiness and cloud density, Journal of Meteorology 2 (1945)
       and 3 (1946), in the form of Reno, Hansen and Stein, SAND2012-2389, 2012.
    """
    cosine = sin(radians(finite("height_deg", height_deg)))
    return 1098 * cosine * exp(-0.059 / cosine) if cosine > 0 else 0.0


def clear_day_kwh(latitude_deg: float, day: int) -> float:
    """Return the irradiation of one clear-sky day on a horizontal surface.

    Parameters
    ----------
    latitude_deg : float
        Scalar, within ±90. [°]
    day : int
        Day of the year, scalar, 1 to 366. [1]

    Returns
    -------
    float
        Irradiation, scalar. [kWh/m²]

    Raises
    ------
    ValueError
        If an argument is outside its domain.

    Examples
    --------
    >>> round(clear_day_kwh(50.0, 172), 1), round(clear_day_kwh(50.0, 355), 1)
    (8.7, 1.2)

    References
    ----------
    .. [1] As :func:`clear_sky_w` at the apparent altitude of the sun, summed in steps of five minutes.
    """
    tilt = declination_deg(day)
    mornings = (360 * (step + 0.5) / _STEPS - 180 for step in range(_STEPS // 2))  # afternoon mirrors morning
    heights = [height_deg(latitude_deg, tilt, angle) for angle in mornings]
    return fsum(clear_sky_w(height + refraction_deg(height)) for height in heights) * 48 / _STEPS / 1000


def _day(day: int) -> int:
    if day not in range(1, 367):
        raise ValueError(f"day must be 1 to 366, got {day!r}")
    return day


def _latitude(latitude_deg: float) -> float:
    if abs(finite("latitude_deg", latitude_deg)) > 90:
        raise ValueError(f"latitude_deg must be within ±90, got {latitude_deg!r}")
    return radians(latitude_deg)
