"""Usable charge of a battery: discharge rate, low temperature, ageing, and days of autonomy."""

from dataclasses import dataclass
from itertools import pairwise
from math import inf, log

from vandoc.ground.calc.require import finite, not_negative, positive
from vandoc.ground.chemistry import ColdShare, chemistry_of
from vandoc.ground.data import constant


@dataclass(frozen=True)
class RemainingShare:
    """Remaining fraction of the capacity, as a range. [1]"""

    low: float
    high: float
    source: str
    from_memory: bool


def hours_at_one_ampere_form(capacity_at_1_a_ah: float, current_a: float, exponent: float) -> float:
    """Return the discharge time by Peukert's law, from the capacity at a current of 1 A.

    Parameters
    ----------
    capacity_at_1_a_ah : float
        Capacity at a discharge current of 1 A; not the 20 h rating. Scalar, above 0. [Ah]
    current_a : float
        Scalar, above 0. [A]
    exponent : float
        Peukert exponent, scalar, at least 1. [1]

    Returns
    -------
    float
        Time, scalar. [h]

    Raises
    ------
    ValueError
        If a number is outside its domain.

    Examples
    --------
    >>> round(hours_at_one_ampere_form(100.0, 5.0, 1.2), 1)
    14.5

    References
    ----------
    .. [1] Peukert 1897: t = C₁ / I^k.
    """
    positive("capacity_at_1_a_ah", capacity_at_1_a_ah)
    return float(capacity_at_1_a_ah / positive("current_a", current_a) ** _exponent(exponent))


def hours_at_rated_form(capacity_ah: float, rated_h: float, current_a: float, exponent: float) -> float:
    """Return the discharge time by Peukert's law, from the rated capacity.

    Parameters
    ----------
    capacity_ah : float
        Rated capacity, scalar, above 0. [Ah]
    rated_h : float
        Hours of the rating, for example 20, scalar, above 0. [h]
    current_a : float
        Scalar, above 0. [A]
    exponent : float
        Peukert exponent, scalar, at least 1. [1]

    Returns
    -------
    float
        Time, scalar. [h]

    Raises
    ------
    ValueError
        If a number is outside its domain.

    Examples
    --------
    >>> hours_at_rated_form(100.0, 20.0, 5.0, 1.2)
    20.0
    >>> round(hours_at_rated_form(100.0, 20.0, 25.0, 1.1), 3)
    3.405

    References
    ----------
    .. [1] Peukert's law written for a rating of H hours: t = H · (C / (I · H))^k.
    """
    positive("rated_h", rated_h)
    rate = positive("capacity_ah", capacity_ah) / (positive("current_a", current_a) * rated_h)
    return rated_h * float(rate ** _exponent(exponent))


def exponent_from(current_1_a: float, hours_1_h: float, current_2_a: float, hours_2_h: float) -> float:
    """Return the Peukert exponent of a battery from two discharges.

    Parameters
    ----------
    current_1_a, hours_1_h : float
        Current and time of the first discharge, scalars, above 0. [A], [h]
    current_2_a, hours_2_h : float
        Current and time of the second, with a different current. [A], [h]

    Returns
    -------
    float
        Exponent, scalar. [1]

    Raises
    ------
    ValueError
        If a number is outside its domain or the currents are equal.

    Examples
    --------
    >>> round(exponent_from(186.0, 38 / 60, 93.0, 85 / 60), 4)
    1.1615

    References
    ----------
    .. [1] Peukert's law, solved for k: ln(t₂/t₁) / ln(I₁/I₂).
    """
    positive("current_1_a", current_1_a)
    if current_1_a == positive("current_2_a", current_2_a):
        raise ValueError("the two currents must differ")
    times = positive("hours_2_h", hours_2_h) / positive("hours_1_h", hours_1_h)
    return log(times) / log(current_1_a / current_2_a)


def rate_part(capacity_ah: float, rated_h: float, current_a: float, exponent: float) -> float:
    """Return the fraction of the rated capacity available at a current, at most 1.

    Parameters
    ----------
    capacity_ah, rated_h, current_a, exponent : float
        As for :func:`hours_at_rated_form`; the current may be 0. [Ah], [h], [A], [1]

    Returns
    -------
    float
        Fraction, scalar, above 0, at most 1. [1]

    Raises
    ------
    ValueError
        If a number is outside its domain.

    Examples
    --------
    >>> rate_part(100.0, 20.0, 1.0, 1.2)
    1.0
    >>> round(rate_part(100.0, 20.0, 10.0, 1.2), 2)
    0.87

    References
    ----------
    .. [1] From :func:`hours_at_rated_form`: t · I / C = (C / (I · H))^(k − 1). A slower
       discharge than the rating's is not credited: own choice.
    """
    if not_negative("current_a", current_a) == 0:
        return 1.0
    positive("rated_h", rated_h)
    rate = positive("capacity_ah", capacity_ah) / rated_h / current_a
    return min(1.0, float(rate ** (_exponent(exponent) - 1)))


def cold_part(chemistry: str, celsius: float) -> RemainingShare:
    """Return the fraction of the capacity that is available at a temperature.

    Parameters
    ----------
    chemistry : str
        A key of :func:`vandoc.ground.chemistry.known`, its capacity in the cold known.
    celsius : float
        Battery temperature, scalar, not below the lowest row of its chemistry. [°C]

    Returns
    -------
    RemainingShare
        Interpolated linearly between the rows of the table; 1 above the highest.

    Raises
    ------
    ValueError
        If the chemistry is not known or the temperature is below the table.

    Examples
    --------
    >>> cold_part("flooded", 0.0).low, cold_part("flooded", 40.0).high
    (0.75, 1.0)

    References
    ----------
    .. [1] US Army TM 10-6140-200-14 for lead, see the file of each chemistry for the others.
    """
    table = _cold(chemistry)
    if finite("celsius", celsius) >= table[0].celsius:
        return RemainingShare(1.0, 1.0, table[0].source, table[0].from_memory)
    for warm, cold in pairwise(table):
        if celsius >= cold.celsius:
            share = (celsius - cold.celsius) / (warm.celsius - cold.celsius)
            low = cold.low_percent + (warm.low_percent - cold.low_percent) * share
            high = cold.high_percent + (warm.high_percent - cold.high_percent) * share
            return RemainingShare(low / 100, high / 100, cold.source, warm.from_memory or cold.from_memory)
    raise ValueError(f"celsius must be at least {table[-1].celsius:g} for {chemistry}, got {celsius!r}")


def coldest_known_c(chemistry: str) -> float:
    """Return the lowest temperature that :func:`cold_part` covers for a chemistry.

    Parameters
    ----------
    chemistry : str
        A key of :func:`vandoc.ground.chemistry.known`, its capacity in the cold known.

    Returns
    -------
    float
        Temperature, scalar. [°C]

    Raises
    ------
    ValueError
        If the chemistry is not known.

    Examples
    --------
    >>> coldest_known_c("AGM")
    -17.8

    References
    ----------
    .. [1] As :func:`cold_part`.
    """
    return _cold(chemistry)[-1].celsius


def _cold(chemistry: str) -> tuple[ColdShare, ...]:
    table = chemistry_of(chemistry).cold
    if not table:
        raise ValueError(f"the capacity of {chemistry} in the cold is not known")
    return table


def age_part(age_a: float, life_a: float) -> float:
    """Return the fraction of the capacity that remains at an age.

    Parameters
    ----------
    age_a : float
        Age in years, scalar, at least 0. [a]
    life_a : float
        Calendar life, scalar, above 0. [a]

    Returns
    -------
    float
        Fraction, scalar: 1 when new, 0.8 at the end of life and beyond. [1]

    Raises
    ------
    ValueError
        If a number is outside its domain.

    Examples
    --------
    >>> round(age_part(3.0, 6.0), 6)
    0.9

    References
    ----------
    .. [1] TM 5-684/NAVFAC MO-200/AFJMAN 32-1082, par. 14-29: replace below 80 % of the rated capacity. That
       it falls linearly is own choice.
    """
    worn = constant("capacity when worn out").value
    return 1 - (1 - worn) * min(1.0, not_negative("age_a", age_a) / positive("life_a", life_a))


def days_until_empty(usable_ah: float, need_ah: float, supply_ah: float) -> float:
    """Return the autonomy of a full battery in days when more is drawn than supplied.

    Parameters
    ----------
    usable_ah : float
        Usable charge, scalar, at least 0. [Ah]
    need_ah, supply_ah : float
        Charge drawn and charge restored in a day, scalars, at least 0. [Ah]

    Returns
    -------
    float
        Days, scalar; infinite if the supply covers the need. [d]

    Raises
    ------
    ValueError
        If a number is outside its domain.

    Examples
    --------
    >>> days_until_empty(80.0, 50.0, 10.0), days_until_empty(80.0, 50.0, 60.0)
    (2.0, inf)

    References
    ----------
    .. [1] Conservation of charge.
    """
    usable = not_negative("usable_ah", usable_ah)
    missing = not_negative("need_ah", need_ah) - not_negative("supply_ah", supply_ah)
    return usable / missing if missing > 0 else inf


def _exponent(exponent: float) -> float:
    if finite("exponent", exponent) < 1:
        raise ValueError(f"exponent must be at least 1, got {exponent!r}")
    return exponent
