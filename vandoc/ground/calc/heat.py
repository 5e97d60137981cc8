"""Heat of chargers and inverters, and the openings that let it out."""

from math import sqrt

from vandoc.ground.calc.require import finite, not_negative, positive
from vandoc.ground.data import constant

KELVIN = 273.15


def loss_w(output_w: float, efficiency: float) -> float:
    """Return the heat of a converter that delivers a power.

    Parameters
    ----------
    output_w : float
        Power delivered, scalar, at least 0. [W]
    efficiency : float
        Power delivered by power taken, scalar, above 0, at most 1. [1]

    Returns
    -------
    float
        Heat, scalar. [W]

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
    """Return the free area of two like openings, low and high, through which warm air carries heat out.

    All heat leaves with the air, none through the walls: the area errs on the large side.

    Parameters
    ----------
    loss_w : float
        Heat, scalar, at least 0. [W]
    rise_k : float
        Temperature the air inside may have above that outside, scalar, above 0. [K]
    height_m : float
        Height from the middle of the low to the middle of the high opening, scalar, above 0. [m]
    ambient_c : float
        Temperature outside the space, scalar, above −273.15. [°C]

    Returns
    -------
    float
        Free area of each of the two openings, scalar. [cm²]

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
