"""Voltage drop along a conductor, and the limits for each kind of circuit."""

from dataclasses import dataclass

from vandoc.ground.calc.basis import strictest
from vandoc.ground.calc.conductor import resistance_per_metre
from vandoc.ground.calc.require import not_negative
from vandoc.ground.data import rows


@dataclass(frozen=True)
class _LimitRow:
    kind: str
    basis: str
    percent: float
    source: str
    from_memory: bool


@dataclass(frozen=True)
class Limit:
    """Maximum voltage drop, supply and return together, in percent of the nominal voltage."""

    percent: float
    basis: str
    source: str
    from_memory: bool


KINDS = tuple(dict.fromkeys(row.kind for row in rows("drop_limit", _LimitRow)))


def drop_v(current_a: float, length_m: float, area_mm2: float, temperature_c: float) -> float:
    """Return the voltage drop along one conductor.

    Parameters
    ----------
    current_a : float
        Current, scalar, at least 0. [A]
    length_m : float
        Length of this one conductor, scalar, at least 0; the return conductor counts separately. [m]
    area_mm2 : float
        Cross-section, scalar, 0.5 to 120. [mm²]
    temperature_c : float
        Temperature of the conductor, scalar. [°C]

    Returns
    -------
    float
        Voltage drop, scalar. [V]

    Raises
    ------
    ValueError
        If a number is outside its domain.

    Examples
    --------
    >>> round(drop_v(10.0, 10.0, 2.5, 20.0), 3)
    0.798

    References
    ----------
    .. [1] Ohm's law with the resistance of IEC 60228:2004, Table 3.
    """
    not_negative("current_a", current_a)
    not_negative("length_m", length_m)
    return current_a * length_m * resistance_per_metre(area_mm2, temperature_c)


def drop_limit(kind: str, basis: str | None) -> Limit:
    """Return the maximum voltage drop for a kind of circuit.

    The stricter basis applies unless one is named; if that basis has no figure for this kind, the
    strictest of the others applies.

    Parameters
    ----------
    kind : str
        One of ``KINDS``: critical, main, lighting, general, charging.
    basis : str or None
        One of ``vandoc.ground.calc.basis.BASES``, or None.

    Returns
    -------
    Limit
        With the basis and source that apply.

    Raises
    ------
    ValueError
        If the kind or the basis is not known.

    Examples
    --------
    >>> drop_limit("critical", None).percent, drop_limit("lighting", "IEC 60364-5-52").percent
    (3.0, 6.0)

    References
    ----------
    .. [1] ISO 13297:2020 (from ISO 10133:2012), ABYC E-11, IEC 60364-5-52:2009 Table G.52.1.
    """
    if kind not in KINDS:
        raise ValueError(f"kind must be one of {', '.join(KINDS)}, got {kind!r}")
    candidates = [row for row in rows("drop_limit", _LimitRow) if row.kind == kind]
    row = strictest(candidates, basis, lambda row: row.percent)
    return Limit(row.percent, row.basis, row.source, row.from_memory)
