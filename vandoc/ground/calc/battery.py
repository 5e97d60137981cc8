"""Batteries by chemistry: open-circuit voltage and internal resistance.

Networks need a figure for every battery. If that of its chemistry is not known, the least favourable of all
known chemistries is used: for currents only, never for what people are told to set, expect or do.
"""

from collections.abc import Collection
from itertools import pairwise

from vandoc.ground.calc.require import positive
from vandoc.ground.chemistry import Chemistry, RestVoltage, chemistry_of, known


def rest_voltage(chemistry: str, nominal_v: float) -> tuple[RestVoltage, ...]:
    """Return the open-circuit voltage of a battery against its state of charge.

    Parameters
    ----------
    chemistry : str
        A key of :func:`vandoc.ground.chemistry.known`.
    nominal_v : float
        Nominal voltage, scalar, above 0. [V]

    Returns
    -------
    tuple of RestVoltage
        Highest state of charge first; after several hours at rest with nothing connected. Empty if not known.

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
    .. [1] BCI open-circuit tables for flooded and VRLA batteries, from memory; for LiFePO4 common practice,
       no source: its curve is so flat that voltage says little about the state of charge.
    """
    found = chemistry_of(chemistry)
    cells = found.cells_for(positive("nominal_v", nominal_v))
    return () if found.rest is None or cells is None else found.rest.of(cells)


def rest_voltage_at(chemistry: str, soc_percent: float, nominal_v: float) -> float:
    """Return the open-circuit voltage of a battery at any state of charge, by linear interpolation.

    Parameters
    ----------
    chemistry : str
        A key of :func:`vandoc.ground.chemistry.known`.
    soc_percent : float
        State of charge, scalar, 0 to 100. [%]
    nominal_v : float
        Nominal voltage, scalar, above 0. [V]

    Returns
    -------
    float
        Voltage, scalar; the lowest of all known chemistries if that of this one is not known. [V]

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
        _between(rest_voltage(key, nominal_v), soc_percent) for key in _told_at_rest(chemistry, nominal_v)
    )


def _between(table: tuple[RestVoltage, ...], soc_percent: float) -> float:
    for above, below in pairwise(table):
        if soc_percent >= below.soc_percent:
            part = (soc_percent - below.soc_percent) / (above.soc_percent - below.soc_percent)
            return below.volts_v + part * (above.volts_v - below.volts_v)
    return table[-1].volts_v


def _told_at_rest(chemistry: str, nominal_v: float) -> tuple[str, ...]:
    """The chemistry itself if its rest voltages are known, else all of which they are."""
    if rest_voltage(chemistry, nominal_v):
        return (chemistry,)
    return tuple(key for key in known() if rest_voltage(key, nominal_v))


def full_voltage_v(chemistry: str, nominal_v: float) -> float:
    """Return the open-circuit voltage of a full battery.

    Parameters
    ----------
    chemistry : str
        A key of :func:`vandoc.ground.chemistry.known`.
    nominal_v : float
        Nominal voltage, scalar, above 0. [V]

    Returns
    -------
    float
        Voltage, scalar; the highest of all known chemistries if that of this one is not known. [V]

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
    return max(rest_voltage(key, nominal_v)[0].volts_v for key in _told_at_rest(chemistry, nominal_v))


def absorption_v(chemistries: Collection[str], nominal_v: float) -> float:
    """Return the absorption voltage that a charger without stated settings is taken to hold.

    Parameters
    ----------
    chemistries : collection of str
        Keys of the batteries that it may charge.
    nominal_v : float
        Nominal voltage, scalar, above 0. [V]

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
    own = [_absorption_v(chemistry_of(key), nominal_v) for key in chemistries]
    found = [volts for volts in own if volts is not None]
    if not own or len(found) < len(own):
        others = (_absorption_v(one, nominal_v) for one in known().values())
        found = [volts for volts in others if volts is not None]
    return min(found)


def _absorption_v(chemistry: Chemistry, nominal_v: float) -> float | None:
    found = chemistry.scaled(chemistry.absorption_v, nominal_v)
    return None if found is None else found.low


def internal_resistance_ohm(
    chemistry: str, capacity_ah: float, nominal_v: float, *, weak: bool = False
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
    weak : bool
        If it is not known: whether the highest of all known chemistries is meant, so that the prospective
        current comes out low. Otherwise the lowest is.

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
    >>> internal_resistance_ohm("LiFePO4", 200.0, 12.0)
    0.0015

    References
    ----------
    .. [1] Common practice, no source; see ``internal_resistance_mohm`` of each chemistry for the flag.
    """
    smaller = 100 / positive("capacity_ah", capacity_ah)
    positive("nominal_v", nominal_v)
    own = _resistance_mohm(chemistry_of(chemistry), nominal_v)
    if own is not None:
        return own / 1000 * smaller
    others = [found for one in known().values() if (found := _resistance_mohm(one, nominal_v)) is not None]
    return (max(others) if weak else min(others)) / 1000 * smaller


def _resistance_mohm(chemistry: Chemistry, nominal_v: float) -> float | None:
    found = chemistry.scaled(chemistry.internal_resistance_mohm, nominal_v)
    return None if found is None else found.low
