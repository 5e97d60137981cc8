"""Heat loss of chargers and inverters, and the vents that remove it."""

from math import sqrt

from vandoc.ground.calc.require import finite, not_negative, positive
from vandoc.ground.data import constant

KELVIN = 273.15


def loss_w(output_w: float, efficiency: float) -> float:
    """Return the heat loss of a converter at an output power.

    Parameters
    ----------
    output_w : float
        Output power, scalar, at least 0. [W]
    efficiency : float
        Output power divided by input power, scalar, above 0, at most 1. [1]

    Returns
    -------
    float
        Heat loss, scalar. [W]

    Raises
    ------
    ValueError
        If a number is outside its domain.

    Examples
    --------
    >>> round(loss_w(900.0, 0.9), 6)
    100.0

    References
    ----------
    .. [1] Conservation of energy.
    """
    not_negative("output_w", output_w)
    if positive("efficiency", efficiency) > 1:
        raise ValueError(f"efficiency must not be above 1, got {efficiency!r}")
    return output_w / efficiency - output_w


def vent_area_for_heat_cm2(loss_w: float, rise_k: float, height_m: float, ambient_c: float) -> float:
    """Return the free area of two equal vents, low and high, through which warm air carries the heat out.

    All heat leaves with the air, none through the walls, so the area is overestimated.

    Parameters
    ----------
    loss_w : float
        Heat loss, scalar. [W]
    rise_k : float
        Permitted rise of the inside air above the outside air, scalar, above 0. [K]
    height_m : float
        Height from the centre of the low vent to the centre of the high vent, scalar, above 0. [m]
    ambient_c : float
        Air temperature outside the enclosure, scalar, above −273.15. [°C]

    Returns
    -------
    float
        Free area of each of the two vents, scalar. [cm²]

    Raises
    ------
    ValueError
        If a number is outside its domain.

    Examples
    --------
    >>> round(vent_area_for_heat_cm2(100.0, 10.0, 0.5, 30.0))
    360

    References
    ----------
    .. [1] From memory: standard stack-effect formula Q = Cd · A · sqrt(2 · g · h/2 · ΔT/T) with the neutral
       level half way between like openings, and heat P = ρ · cp · Q · ΔT with ρ of an ideal gas at the
       temperature outside.
    """
    not_negative("loss_w", loss_w)
    positive("rise_k", rise_k)
    positive("height_m", height_m)
    outside_k = positive("the absolute temperature of ambient_c", finite("ambient_c", ambient_c) + KELVIN)
    density = constant("standard pressure").value / (constant("gas constant of air").value * outside_k)
    airflow_m3_per_s = loss_w / (density * constant("heat capacity of air").value * rise_k)
    pull = constant("gravity").value * height_m * rise_k / (outside_k + rise_k)
    return airflow_m3_per_s / (constant("discharge coefficient").value * sqrt(pull)) * 1e4
