"""Solar irradiation on a panel: monthly clearness of the sky, its diffuse fraction, the course of a day.

The method is the usual one for monthly means: clearness index, diffuse fraction by Erbs, hourly shares by
Collares-Pereira and Rabl, isotropic sky over a tilted panel by Liu and Jordan.
"""

from dataclasses import dataclass
from itertools import starmap
from math import cos, fsum, pi, radians, sin

from vandoc.ground.calc.require import finite, not_negative
from vandoc.ground.calc.sun import declination_deg, height_deg, month_extraterrestrial_kwh, sunset_deg
from vandoc.ground.data import constant, rows

STEPS = 48
"""Number of half-hour steps in the course of a day."""


@dataclass(frozen=True)
class _ClearnessRow:
    from_deg: float
    to_deg: float
    month: int
    low: float
    high: float
    source: str
    from_memory: bool


@dataclass(frozen=True)
class _MeanDayRow:
    month: int
    day: int
    source: str
    from_memory: bool


@dataclass(frozen=True)
class Clearness:
    """Clearness index, the fraction of extraterrestrial irradiation at ground level: cloudy and sunny. [1]"""

    low: float
    high: float
    source: str
    from_memory: bool


def northern_month(latitude_deg: float, month: int) -> int:
    """Return the northern month with the same season: six months later for a southern latitude.

    Examples
    --------
    >>> northern_month(50.0, 1), northern_month(-34.0, 1)
    (1, 7)
    """
    return month if latitude_deg >= 0 else (month + 5) % 12 + 1


def clearness(latitude_deg: float, month: int) -> Clearness:
    """Return the clearness index of an average month, from the cloudiest to the sunniest published site.

    Parameters
    ----------
    latitude_deg : float
        Scalar, within ±66; no site is published beyond. [°]
    month : int
        Scalar, 1 to 12. [1]

    Returns
    -------
    Clearness

    Raises
    ------
    ValueError
        If an argument is outside its domain.

    Examples
    --------
    >>> found = clearness(52.0, 12)
    >>> found.low, found.high
    (0.26, 0.35)

    References
    ----------
    .. [1] ``clearness.csv``: published monthly means divided by the extraterrestrial irradiation.
    """
    height = abs(finite("latitude_deg", latitude_deg))
    season = northern_month(latitude_deg, month)
    for row in rows("clearness", _ClearnessRow):
        if row.from_deg <= height < row.to_deg and row.month == season:
            return Clearness(row.low, row.high, row.source, row.from_memory)
    raise ValueError(f"no clearness is known for latitude {latitude_deg!r}, month {month!r}")


def mean_day(month: int) -> int:
    """Return the mean day of a month, as a day of the year.

    Parameters
    ----------
    month : int
        Scalar, 1 to 12. [1]

    Returns
    -------
    int
        Day of the year.

    Raises
    ------
    ValueError
        If there is no such month.

    Examples
    --------
    >>> mean_day(6)
    162

    References
    ----------
    .. [1] Klein 1977, see ``mean_day.csv``.
    """
    for row in rows("mean_day", _MeanDayRow):
        if row.month == month:
            return row.day
    raise ValueError(f"month must be 1 to 12, got {month!r}")


def diffuse_part(clearness: float, sunset_deg: float) -> float:
    """Return the diffuse fraction of a month's irradiation.

    Parameters
    ----------
    clearness : float
        Clearness index, scalar, 0 to 1. Above 0.8, where the correlation ends, it is taken as 0.8; below 0.3
        the curve is continued until all light is diffuse. [1]
    sunset_deg : float
        Sunset hour angle, scalar; up to 81.4° counts as winter. [°]

    Returns
    -------
    float
        Fraction, scalar, 0 to 1. [1]

    Raises
    ------
    ValueError
        If the clearness is outside 0 to 1.

    Examples
    --------
    >>> round(diffuse_part(0.55, 113.4), 2)
    0.38
    >>> diffuse_part(0.05, 60.0)
    1.0

    References
    ----------
    .. [1] Erbs, Klein and Duffie, Solar Energy 28 (1982), p. 293; Duffie and Beckman, eq. 2.12.1.
    """
    if not 0 <= finite("clearness", clearness) <= 1:
        raise ValueError(f"clearness must be 0 to 1, got {clearness!r}")
    k = min(clearness, 0.8)
    if finite("sunset_deg", sunset_deg) <= 81.4:
        part = 1.391 - 3.560 * k + 4.189 * k**2 - 2.137 * k**3
    else:
        part = 1.311 - 3.022 * k + 3.427 * k**2 - 1.821 * k**3
    return min(1.0, part)


def course(
    latitude_deg: float, month: int, irradiation_kwh: float, tilt_deg: float, azimuth_deg: float
) -> tuple[float, ...]:
    """Return the irradiance on a panel over the mean day of a month.

    Parameters
    ----------
    latitude_deg : float
        Scalar, within ±90. [°]
    month : int
        Scalar, 1 to 12. [1]
    irradiation_kwh : float
        Of an average day on a horizontal surface, scalar, at least 0. [kWh/m²]
    tilt_deg : float
        Tilt of the panel from horizontal, scalar, 0 to 90. [°]
    azimuth_deg : float
        Direction that a tilted panel faces: 0 to the noon sun, 90 west, −90 east, 180 away. [°]

    Returns
    -------
    tuple of float
        Shape ``(STEPS,)``: mean irradiance of each half-hour of solar time from midnight. [W/m²]

    Raises
    ------
    ValueError
        If an argument is outside its domain.

    Examples
    --------
    >>> flat = course(50.0, 6, 5.0, 0.0, 0.0)
    >>> round(sum(flat) / 2000, 2), round(max(flat))
    (5.0, 553)

    References
    ----------
    .. [1] Collares-Pereira and Rabl, Solar Energy 22 (1979), p. 155, and Liu and Jordan, Solar Energy 4
       (1960): hourly shares; Liu and Jordan, Solar Energy 7 (1963): tilted panel under an isotropic sky; all
       in Duffie and Beckman, eqs. 2.13.1 to 2.13.4 and 2.15.1.
    """
    not_negative("irradiation_kwh", irradiation_kwh)
    if not 0 <= finite("tilt_deg", tilt_deg) <= 90:
        raise ValueError(f"tilt_deg must be 0 to 90, got {tilt_deg!r}")
    outside = month_extraterrestrial_kwh(latitude_deg, month)
    lean = declination_deg(mean_day(month))
    sunset = sunset_deg(latitude_deg, lean)
    if irradiation_kwh == 0 or sunset == 0:
        return (0.0,) * STEPS
    sky = diffuse_part(min(1.0, irradiation_kwh / outside), sunset)
    turns = [360 * (step + 0.5) / STEPS - 180 for step in range(STEPS)]
    shares = _shares(turns, sunset)
    slope = radians(tilt_deg)
    upper = (1 + cos(slope)) / 2
    ground = constant("ground reflectance").value * (1 - cos(slope)) / 2
    watts = irradiation_kwh * 1000 * STEPS / 24

    def on_panel(turn: float, total: float, even: float) -> float:
        if total <= 0:
            return 0.0  # at night
        diffuse = min(sky * even, total)
        height = sin(radians(height_deg(latitude_deg, lean, turn)))
        facing = _incidence(latitude_deg, lean, turn, slope, azimuth_deg)
        beam = (total - diffuse) * max(0.0, facing) / max(height, 0.05)  # limited within 3° of the horizon
        return watts * (beam + diffuse * upper + total * ground)

    return tuple(starmap(on_panel, zip(turns, *shares, strict=True)))


def _shares(turns: list[float], sunset_deg: float) -> tuple[list[float], list[float]]:
    """Shares of the day's irradiation in each step: total and diffuse; each adds up to 1."""
    sunset = radians(sunset_deg)
    a = 0.409 + 0.5016 * sin(sunset - pi / 3)
    b = 0.6609 - 0.4767 * sin(sunset - pi / 3)
    cosines = [cos(radians(turn)) for turn in turns]
    even = [max(0.0, cosine - cos(sunset)) for cosine in cosines]
    total = [(a + b * cosine) * share for cosine, share in zip(cosines, even, strict=True)]
    return [share / fsum(total) for share in total], [share / fsum(even) for share in even]


def _incidence(latitude_deg: float, lean: float, turn: float, slope: float, azimuth_deg: float) -> float:
    """Cosine of the angle of incidence on the panel, 0 while the sun is down."""
    phi, delta, omega = radians(abs(latitude_deg)), radians(lean), radians(turn)
    if latitude_deg < 0:
        delta = -delta  # seen from the south, the noon sun is in the north
    gamma = radians(finite("azimuth_deg", azimuth_deg))
    up = sin(delta) * sin(phi) + cos(delta) * cos(phi) * cos(omega)
    to_noon = cos(delta) * sin(phi) * cos(omega) - sin(delta) * cos(phi)
    across = cos(delta) * sin(omega)
    cosine = up * cos(slope) + sin(slope) * (to_noon * cos(gamma) + across * sin(gamma))
    return cosine if up > 0 else 0.0
