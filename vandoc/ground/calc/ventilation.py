"""Ventilation of batteries that give off hydrogen during charging."""

from typing import Literal

from vandoc.ground.calc.require import count, not_negative, positive
from vandoc.ground.chemistry import chemistry_of
from vandoc.ground.data import constant


def gas_current_ma_per_ah(chemistry: str, mode: Literal["float", "boost"]) -> float | None:
    """Return the current that produces gas, per ampere-hour of capacity.

    Parameters
    ----------
    chemistry : str
        A key of :func:`vandoc.ground.chemistry.known`.
    mode : str
        ``"float"``, or ``"boost"`` for absorption and equalising.

    Returns
    -------
    float or None
        Gas current, scalar; zero for a chemistry that gives off none, None if it is not known. [mA/Ah]

    Raises
    ------
    ValueError
        If there is no such chemistry.

    Examples
    --------
    >>> gas_current_ma_per_ah("flooded", "boost"), gas_current_ma_per_ah("AGM", "float")
    (20.0, 1.0)

    References
    ----------
    .. [1] IEC 62485-2:2010, Table 1 (EN 50272-2:2001, Table 1).
    """
    traits = chemistry_of(chemistry)
    if traits.gassing is False:
        return 0.0
    found = traits.gas_float_ma_per_ah if mode == "float" else traits.gas_boost_ma_per_ah
    return None if found is None else found.high


def airflow_m3_per_h(cells: int, gas_current_ma_per_ah: float, capacity_ah: float) -> float:
    """Return the airflow that a battery needs during charging.

    Keeps hydrogen at a fifth of its 4 % lower flammability limit, by the rounded formula of the standard; the
    unrounded form gives 0.8 % more.

    Parameters
    ----------
    cells : int
        Cells in series, scalar, at least 1; for parallel strings add up their airflow. [1]
    gas_current_ma_per_ah : float
        See :func:`gas_current_ma_per_ah`, scalar, at least 0. [mA/Ah]
    capacity_ah : float
        Capacity, scalar, above 0. [Ah]

    Returns
    -------
    float
        Airflow, scalar. [m³/h]

    Raises
    ------
    ValueError
        If a number is outside its domain.

    Examples
    --------
    >>> round(airflow_m3_per_h(6, 20.0, 100.0), 3)
    0.6

    References
    ----------
    .. [1] IEC 62485-2:2010: ``Q = 0.05 · n · Igas · Crt · 10⁻³``.
    """
    not_negative("gas_current_ma_per_ah", gas_current_ma_per_ah)
    gas_current_a = gas_current_ma_per_ah / 1000 * positive("capacity_ah", capacity_ah)
    return constant("hydrogen dilution").value * count("cells", cells) * gas_current_a


def vent_area_cm2(airflow_m3_per_h: float) -> float:
    """Return the free area of the inlet vent, and equally of the outlet vent, for natural ventilation.

    Parameters
    ----------
    airflow_m3_per_h : float
        Airflow, scalar, at least 0. [m³/h]

    Returns
    -------
    float
        Free area of each of the two vents, scalar. [cm²]

    Raises
    ------
    ValueError
        If the airflow is not a number of at least 0.

    Examples
    --------
    >>> round(vent_area_cm2(0.6), 1)
    16.8

    References
    ----------
    .. [1] IEC 62485-2:2010: A = 28 · Q, air at 0.1 m/s.
    """
    return constant("vent area per airflow").value * not_negative("airflow_m3_per_h", airflow_m3_per_h)
