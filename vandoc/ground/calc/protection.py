"""Overcurrent protection of conductors: distance from the source, rating, and short-circuit withstand."""

from dataclasses import dataclass
from math import log, sqrt

from vandoc.ground.calc.basis import strictest
from vandoc.ground.calc.require import finite, positive
from vandoc.ground.data import constant, rows


@dataclass(frozen=True)
class _DistanceRow:
    basis: str
    sheathed: bool
    distance_m: float
    source: str
    from_memory: bool


@dataclass(frozen=True)
class _FactorRow:
    basis: str
    factor: float
    source: str
    from_memory: bool


@dataclass(frozen=True)
class _KRow:
    insulation: str
    initial_c: float
    final_c: float
    k: float


PVC_UP_TO_C = 125.0  # the highest temperature rating of PVC compounds; common practice, no source


@dataclass(frozen=True)
class PermittedDistance:
    """Maximum length of conductor from a source of power to its overcurrent protective device."""

    distance_m: float
    basis: str
    source: str
    from_memory: bool


@dataclass(frozen=True)
class ConductorLimit:
    """Maximum rating of an overcurrent protective device as a multiple of the conductor's capacity.

    ``factor`` is the one that vandoc applies; ``stated_factor`` is the one that the named basis permits.
    """

    factor: float
    basis: str
    source: str
    from_memory: bool
    stated_factor: float
    stated_source: str


def permitted_distance_m(sheathed: bool, basis: str | None) -> PermittedDistance:
    """Return the maximum distance of a conductor's overcurrent protective device from its source of power.

    The stricter basis applies unless one is named; if that basis has no figure for the case, the strictest
    of the others applies.

    Parameters
    ----------
    sheathed : bool
        Whether the conductor has a sheath or enclosure over its whole length, besides its insulation.
    basis : str or None
        One of ``vandoc.ground.calc.basis.BASES``, or None.

    Returns
    -------
    PermittedDistance
        With the basis and source that apply. [m]

    Raises
    ------
    ValueError
        If the basis is not known.

    Examples
    --------
    >>> permitted_distance_m(False, None).distance_m, permitted_distance_m(True, None).distance_m
    (0.178, 1.016)

    References
    ----------
    .. [1] 33 CFR 183.455(b): 7 inches; 40 inches in a sheath or enclosure.
    .. [2] ISO 13297:2020: 200 mm; from memory.
    """
    candidates = [row for row in rows("protection_distance", _DistanceRow) if row.sheathed == sheathed]
    row = strictest(candidates, basis, lambda row: row.distance_m)
    return PermittedDistance(row.distance_m, row.basis, row.source, row.from_memory)


def conductor_limit_factor(basis: str | None) -> ConductorLimit:
    """Return the maximum rating of an overcurrent protective device as a multiple of conductor capacity.

    Always the strictest, 1: 33 CFR 183.455(c)(1) would permit 150 % of Table 5 below 50 V, but a
    fuse rated above the capacity allows the conductor to overheat indefinitely; that allowance is only shown.

    Parameters
    ----------
    basis : str or None
        One of ``vandoc.ground.calc.basis.BASES``, or None.

    Returns
    -------
    ConductorLimit
        The factor used, and the one the named basis states.

    Raises
    ------
    ValueError
        If the basis is not known.

    Examples
    --------
    >>> limit = conductor_limit_factor("33 CFR 183.425")
    >>> limit.factor, limit.stated_factor
    (1.0, 1.5)

    References
    ----------
    .. [1] 33 CFR 183.455(c)(1).
    .. [2] ISO 13297:2020 and IEC 60364-4-43:2008, 433.1: not above the capacity; from memory.
    """
    table = rows("protection_factor", _FactorRow)
    used = strictest(table, None, lambda row: row.factor)
    stated = strictest(table, basis, lambda row: row.factor)
    return ConductorLimit(
        used.factor, used.basis, used.source, used.from_memory, stated.factor, stated.source
    )


def adiabatic_k(insulation: str) -> float:
    """Return k of the adiabatic equation for an insulated copper conductor.

    Parameters
    ----------
    insulation : str
        Material and rating in °C as in the table: ``"PVC 70"``, ``"PVC 90"``, ``"XLPE 90"``, ``"rubber 60"``,
        ``"rubber 85"``, ``"silicone 180"``.

    Returns
    -------
    float
        k, scalar. [A·s^0.5/mm²]

    Raises
    ------
    ValueError
        If the table has no such insulation.

    Examples
    --------
    >>> adiabatic_k("PVC 70")
    115.0

    References
    ----------
    .. [1] IEC 60364-5-54:2011, Table A.54.4 (conductors up to 300 mm²).
    """
    table = {row.insulation: row.k for row in rows("adiabatic_k", _KRow)}
    if insulation not in table:
        raise ValueError(f"insulation must be one of {', '.join(table)}, got {insulation!r}")
    return table[insulation]


def adiabatic_k_for(insulation_c: float) -> float:
    """Return k of the adiabatic equation if only the temperature rating of the insulation is known.

    The material is assumed to be PVC up to 125 °C, which has the lowest k; for higher ratings silicone.

    Parameters
    ----------
    insulation_c : float
        Temperature rating, at which the short circuit begins, scalar, above −234.5, at most 300. [°C]

    Returns
    -------
    float
        k, scalar. [A·s^0.5/mm²]

    Raises
    ------
    ValueError
        If the rating is outside its domain.

    Examples
    --------
    >>> round(adiabatic_k_for(70.0)), round(adiabatic_k_for(105.0)), round(adiabatic_k_for(180.0))
    (115, 88, 132)

    References
    ----------
    .. [1] IEC 60364-5-54:2011, Table A.54.4 (final temperatures 160 °C and 350 °C) and Annex A.
    """
    table = {row.insulation: row for row in rows("adiabatic_k", _KRow)}
    material = "PVC 70" if insulation_c <= PVC_UP_TO_C else "silicone 180"
    return adiabatic_k_between(insulation_c, table[material].final_c)


def adiabatic_k_between(initial_c: float, final_c: float) -> float:
    """Return k of the adiabatic equation for copper between two temperatures, for insulation not in a table.

    Parameters
    ----------
    initial_c : float
        Conductor temperature at the start of the short circuit, scalar, above −234.5. [°C]
    final_c : float
        Short-time temperature limit of the insulation, scalar, above ``initial_c``. [°C]

    Returns
    -------
    float
        k, scalar. [A·s^0.5/mm²]

    Raises
    ------
    ValueError
        If a number is outside its domain.

    Examples
    --------
    >>> round(adiabatic_k_between(70.0, 160.0))
    115

    References
    ----------
    .. [1] IEC 60364-5-54:2011, Annex A: k = 226 · sqrt(ln(1 + (Tf − Ti) / (234.5 + Ti))) for copper.
    """
    zero_c = constant("copper temperature constant").value
    if finite("initial_c", initial_c) <= -zero_c:
        raise ValueError(f"initial_c must be above {-zero_c:g}, got {initial_c!r}")
    if finite("final_c", final_c) <= initial_c:
        raise ValueError(f"final_c must be above initial_c, got {final_c!r} and {initial_c!r}")
    heating = log(1 + (final_c - initial_c) / (zero_c + initial_c))
    return constant("adiabatic factor of copper").value * sqrt(heating)


def adiabatic_time_s(area_mm2: float, k: float, current_a: float) -> float:
    """Return the short-circuit withstand time of a conductor.

    (k · S / I)². The equation neglects heat loss, which is valid up to 5 s; a longer result means more than
    5 s.

    Parameters
    ----------
    area_mm2 : float
        Cross-section, scalar, above 0. [mm²]
    k : float
        See :func:`adiabatic_k`, scalar, above 0. [A·s^0.5/mm²]
    current_a : float
        Short-circuit current, scalar, above 0. [A]

    Returns
    -------
    float
        Time to reach the short-circuit temperature of the insulation, scalar. [s]

    Raises
    ------
    ValueError
        If a number is outside its domain.

    Examples
    --------
    >>> round(adiabatic_time_s(6.0, 115.0, 1000.0), 4)
    0.4761

    References
    ----------
    .. [1] IEC 60364-4-43:2008, 434.5.2.
    """
    return (positive("k", k) * positive("area_mm2", area_mm2) / positive("current_a", current_a)) ** 2
