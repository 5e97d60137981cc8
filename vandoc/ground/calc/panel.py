"""Output of a solar panel: cell temperature and power."""

from vandoc.ground.calc.require import finite, not_negative, positive
from vandoc.ground.data import constant


def cell_temperature_c(irradiance_w: float, air_c: float, heating_k_m2_per_w: float) -> float:
    """Return the cell temperature of a solar panel.

    Parameters
    ----------
    irradiance_w : float
        On the panel, scalar, at least 0. [W/m²]
    air_c : float
        Air temperature, scalar. [°C]
    heating_k_m2_per_w : float
        Rise of cell above air temperature per irradiance, scalar, at least 0; larger without airflow
        behind the panel. [K·m²/W]

    Returns
    -------
    float
        Temperature, scalar. [°C]

    Raises
    ------
    ValueError
        If a number is outside its domain.

    Examples
    --------
    >>> cell_temperature_c(800.0, 20.0, 0.03125)
    45.0

    References
    ----------
    .. [1] Ross, Design techniques for flat-plate photovoltaic arrays, 15th IEEE Photovoltaic Specialist
       Conference, 1981.
    """
    not_negative("heating_k_m2_per_w", heating_k_m2_per_w)
    return finite("air_c", air_c) + heating_k_m2_per_w * not_negative("irradiance_w", irradiance_w)


def panel_power_w(
    rated_w: float, irradiance_w: float, cell_c: float, coefficient_percent_per_k: float
) -> float:
    """Return the power of a panel at its maximum power point, without losses.

    Parameters
    ----------
    rated_w : float
        Rated power at 1000 W/m² and 25 °C, scalar, above 0. [W]
    irradiance_w : float
        On the panel, scalar, at least 0. [W/m²]
    cell_c : float
        Cell temperature, scalar. [°C]
    coefficient_percent_per_k : float
        Temperature coefficient of power, scalar, at most 0. [%/K]

    Returns
    -------
    float
        Power, scalar, never below 0. [W]

    Raises
    ------
    ValueError
        If a number is outside its domain.

    Examples
    --------
    >>> round(panel_power_w(100.0, 800.0, 45.0, -0.4), 6)
    73.6

    References
    ----------
    .. [1] Dobos, PVWatts Version 5 Manual, NREL/TP-6A20-62641, 2014, eq. 8.
    """
    positive("rated_w", rated_w)
    if finite("coefficient_percent_per_k", coefficient_percent_per_k) > 0:
        raise ValueError(f"coefficient_percent_per_k must not be positive, got {coefficient_percent_per_k!r}")
    rise_k = finite("cell_c", cell_c) - constant("standard test temperature").value
    warmth = max(0.0, 1 + coefficient_percent_per_k / 100 * rise_k)
    return rated_w * not_negative("irradiance_w", irradiance_w) / 1000 * warmth
