"""Batteries by chemistry: open-circuit voltage and internal resistance.

Networks need a figure for every battery. If that of its chemistry is not known, the least favourable of all
known chemistries is used: for currents only, never for what people are told to set, expect or do.
"""

from collections.abc import Collection, Mapping
from itertools import pairwise
from typing import Literal

from vandoc.ground.calc.require import positive
from vandoc.ground.chemistry import Chemistry, Range, RestVoltage, chemistry_of, known


def rest_voltage(chemistry: str, nominal_v: float, cells: int | None = None) -> tuple[RestVoltage, ...]:
    """Return the open-circuit voltage of a battery against its state of charge.

    Parameters
    ----------
    chemistry : str
        A key of :func:`vandoc.ground.chemistry.known`.
    nominal_v : float
        Nominal voltage, scalar, above 0. [V]
    cells : int, optional
        Cells in series, if they are stated. [1]

    Returns
    -------
    tuple of RestVoltage
        Highest state of charge first; after several hours at rest with nothing connected. Empty if not known.
        If the label leaves the cells open: of the fewest.

    Raises
    ------
    ValueError
        If there is no such chemistry or the voltage is not a positive number.

    Examples
    --------
    >>> [(row.soc_percent, round(row.volts_v, 2)) for row in rest_voltage("AGM", 12.0)][:2]
    [(100.0, 12.8), (75.0, 12.6)]

    References
    ----------
    .. [1] BCI open-circuit tables for flooded and VRLA batteries, from memory; for lithium the curves that
       its data file names, whose flat part says little about the state of charge.
    """
    return _rest(chemistry_of(chemistry), positive("nominal_v", nominal_v), cells)[0]


def _rest(
    chemistry: Chemistry, nominal_v: float, cells: int | None
) -> tuple[tuple[RestVoltage, ...], tuple[RestVoltage, ...]]:
    """Return the curve of the fewest and of the most cells that a label allows."""
    count = chemistry.cells_for(nominal_v, cells)
    if chemistry.rest is None or count is None:
        return (), ()
    return chemistry.rest.of(count[0]), chemistry.rest.of(count[1])


def rest_voltage_at(chemistry: str, soc_percent: float, nominal_v: float, cells: int | None = None) -> float:
    """Return the open-circuit voltage of a battery at any state of charge, by linear interpolation.

    Parameters
    ----------
    chemistry : str
        A key of :func:`vandoc.ground.chemistry.known`.
    soc_percent : float
        State of charge, scalar, 0 to 100. [%]
    nominal_v : float
        Nominal voltage, scalar, above 0. [V]
    cells : int, optional
        Cells in series, if they are stated. [1]

    Returns
    -------
    float
        Voltage, scalar; the lowest at this charge, since cells differ, and the lowest of all known
        chemistries if that of this one is not known. [V]

    Raises
    ------
    ValueError
        If there is no such chemistry or a number is outside its domain.

    Examples
    --------
    >>> round(rest_voltage_at("AGM", 60.0, 24.0), 2)
    24.84

    References
    ----------
    .. [1] As :func:`rest_voltage`.
    """
    positive("nominal_v", nominal_v)
    if not 0 <= soc_percent <= 100:
        raise ValueError(f"soc_percent must lie in 0 to 100, got {soc_percent!r}")
    return min(
        _between(_rest(one, nominal_v, count)[0], soc_percent)
        for one, count in _told_at_rest(chemistry, nominal_v, cells)
    )


def _between(table: tuple[RestVoltage, ...], soc_percent: float) -> float:
    for above, below in pairwise(table):
        if soc_percent >= below.soc_percent:
            part = (soc_percent - below.soc_percent) / (above.soc_percent - below.soc_percent)
            return below.lowest_v + part * (above.lowest_v - below.lowest_v)
    return table[-1].lowest_v


def _told_at_rest(
    chemistry: str, nominal_v: float, cells: int | None
) -> tuple[tuple[Chemistry, int | None], ...]:
    """The chemistry itself if its rest voltages are known, else all of which they are, with their cells."""
    own = chemistry_of(chemistry)
    if _rest(own, nominal_v, cells)[0]:
        return ((own, cells),)
    return tuple((one, None) for one in known().values() if _rest(one, nominal_v, None)[0])


def full_voltage_v(chemistry: str, nominal_v: float, cells: int | None = None) -> float:
    """Return the open-circuit voltage of a full battery.

    Parameters
    ----------
    chemistry : str
        A key of :func:`vandoc.ground.chemistry.known`.
    nominal_v : float
        Nominal voltage, scalar, above 0. [V]
    cells : int, optional
        Cells in series, if they are stated. [1]

    Returns
    -------
    float
        Voltage, scalar; of the most cells that the label allows, and the highest of all known chemistries if
        that of this one is not known. [V]

    Raises
    ------
    ValueError
        If there is no such chemistry or the voltage is not a positive number.

    Examples
    --------
    >>> full_voltage_v("flooded", 24.0)
    25.3

    References
    ----------
    .. [1] As :func:`rest_voltage`.
    """
    positive("nominal_v", nominal_v)
    found = (_rest(one, nominal_v, count)[1][0] for one, count in _told_at_rest(chemistry, nominal_v, cells))
    return max(row.highest_v for row in found)


def absorption_v(
    chemistries: Collection[str], nominal_v: float, cells: Mapping[str, int | None] | None = None
) -> float:
    """Return the absorption voltage that a charger without stated settings is taken to hold.

    Parameters
    ----------
    chemistries : collection of str
        Keys of the batteries that it may charge.
    nominal_v : float
        Nominal voltage, scalar, above 0. [V]
    cells : mapping, optional
        Cells in series by chemistry, where they are stated.

    Returns
    -------
    float
        The lowest of them, scalar; of all known chemistries if that of one is not known or none is named. [V]

    Raises
    ------
    ValueError
        If there is no such chemistry or the voltage is not a positive number.

    Examples
    --------
    >>> absorption_v({"AGM", "LiFePO4"}, 12.0)
    14.0

    References
    ----------
    .. [1] See ``absorption_v`` of each chemistry.
    """
    positive("nominal_v", nominal_v)
    stated = cells or {}
    own = [_absorption(chemistry_of(key), nominal_v, stated.get(key)) for key in chemistries]
    found = [figure.low for figure in own if figure is not None]
    if not own or len(found) < len(own):
        others = (_absorption(one, nominal_v, None) for one in known().values())
        found = [figure.low for figure in others if figure is not None]
    return min(found)


def _absorption(chemistry: Chemistry, nominal_v: float, cells: int | None) -> Range | None:
    return chemistry.scaled(chemistry.absorption_v, nominal_v, cells)


def highest_charging_v(chemistry: str, nominal_v: float, cells: int | None = None) -> float:
    """Return the highest voltage at which a battery may be charged at 25 °C.

    Parameters
    ----------
    chemistry : str
        A key of :func:`vandoc.ground.chemistry.known`.
    nominal_v : float
        Nominal voltage, scalar, above 0. [V]
    cells : int, optional
        Cells in series, if they are stated. [1]

    Returns
    -------
    float
        Voltage, scalar; of the most cells that the label allows, and the highest of all known chemistries if
        that of this one is not known. [V]

    Raises
    ------
    ValueError
        If there is no such chemistry or the voltage is not a positive number.

    Examples
    --------
    >>> round(highest_charging_v("LiFePO4", 51.2), 1), round(highest_charging_v("LiFePO4", 48.0, 15), 2)
    (58.4, 54.75)

    References
    ----------
    .. [1] See ``absorption_v`` of each chemistry.
    """
    positive("nominal_v", nominal_v)
    own = chemistry_of(chemistry)
    found = own.most(own.absorption_v, nominal_v, cells)
    if found is not None:
        return found.high
    others = (one.most(one.absorption_v, nominal_v) for one in known().values())
    return max(figure.high for figure in others if figure is not None)


def internal_resistance_ohm(
    chemistry: str,
    capacity_ah: float,
    nominal_v: float,
    cells: int | None = None,
    *,
    end: Literal["low", "usual", "high"] = "usual",
) -> float:
    """Return the internal resistance assumed for a battery whose manufacturer gives none.

    It falls with the capacity and rises with the number of cells in series.

    Parameters
    ----------
    chemistry : str
        A key of :func:`vandoc.ground.chemistry.known`.
    capacity_ah : float
        Capacity, scalar, above 0. [Ah]
    nominal_v : float
        Nominal voltage, scalar, above 0. [V]
    cells : int, optional
        Cells in series, if they are stated. [1]
    end : str
        ``"low"`` for the largest short-circuit current, ``"high"`` for the smallest, ``"usual"`` in
        operation: the high end of its own range. If it is not known, ``"high"`` is the highest of all known
        chemistries and the others the lowest.

    Returns
    -------
    float
        Resistance, scalar. [Ω]

    Raises
    ------
    ValueError
        If there is no such chemistry or a number is not positive.

    Examples
    --------
    >>> round(internal_resistance_ohm("LiFePO4", 200.0, 12.0), 5)
    0.0015

    References
    ----------
    .. [1] See ``internal_resistance_mohm`` of each chemistry for the source and the flag.
    """
    smaller = 100 / positive("capacity_ah", capacity_ah)
    positive("nominal_v", nominal_v)
    own = _resistance_mohm(chemistry_of(chemistry), nominal_v, cells)
    if own is not None:
        return (own.low if end == "low" else own.high) / 1000 * smaller
    others = [
        found for one in known().values() if (found := _resistance_mohm(one, nominal_v, None)) is not None
    ]
    picked = (
        max(one.high for one in others)
        if end == "high"
        else min(one.low if end == "low" else one.high for one in others)
    )
    return picked / 1000 * smaller


def _resistance_mohm(chemistry: Chemistry, nominal_v: float, cells: int | None) -> Range | None:
    return chemistry.scaled(chemistry.internal_resistance_mohm, nominal_v, cells)


def cold_resistance(chemistry: str) -> float:
    """Return the resistance of a battery near freezing as a multiple of that at 25 °C.

    Parameters
    ----------
    chemistry : str
        A key of :func:`vandoc.ground.chemistry.known`.

    Returns
    -------
    float
        Multiple, scalar; the highest of all known chemistries if that of this one is not known. [1]

    Raises
    ------
    ValueError
        If there is no such chemistry.

    Examples
    --------
    >>> cold_resistance("LiFePO4")
    1.78

    References
    ----------
    .. [1] See ``cold_resistance`` of each chemistry.
    """
    own = chemistry_of(chemistry).cold_resistance
    if own is not None:
        return own.high
    return max(one.cold_resistance.high for one in known().values() if one.cold_resistance is not None)
