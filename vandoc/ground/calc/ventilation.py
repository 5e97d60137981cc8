"""Ventilation of batteries that give off hydrogen during charging."""

from dataclasses import dataclass

from vandoc.ground.calc.require import count, not_negative, positive
from vandoc.ground.data import constant, rows


@dataclass(frozen=True)
class _GasRow:
    chemistry: str
    mode: str
    volts_per_cell_v: float
    gas_current_ma_per_ah: float


def gas_current_ma_per_ah(chemistry: str, mode: str) -> float:
    """Return the current that produces gas, per ampere-hour of capacity.

    Parameters
    ----------
    chemistry : str
        ``"flooded"``, ``"AGM"`` or ``"gel"``; lithium cells are outside the standard, they give off none when
        in good order.
    mode : str
        ``"float"``, or ``"boost"`` for absorption and equalising.

    Returns
    -------
    float
        Gas current, scalar. [mA/Ah]

    Raises
    ------
    ValueError
        If the table has no such chemistry or mode.

    Examples
    --------
    >>> gas_current_ma_per_ah("flooded", "boost"), gas_current_ma_per_ah("AGM", "float")
    (20.0, 1.0)

    References
    ----------
    .. [1] IEC 62485-2:2010, Table 1 (EN 50272-2:2001, Table 1).
    """
    table = {(row.chemistry, row.mode): row.gas_current_ma_per_ah for row in rows("gas_current", _GasRow)}
    if (chemistry, mode) not in table:
        listed = ", ".join(f"{known} {charging}" for known, charging in table)
        raise ValueError(f"IEC 62485-2 lists {listed}; not {chemistry!r} {mode!r}")
    return table[chemistry, mode]


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
