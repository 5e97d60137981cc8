"""Lower capacity of cables that cannot shed their heat: buried in thermal insulation, or in conduit."""

from dataclasses import dataclass

from vandoc.ground.calc.require import not_negative, positive
from vandoc.ground.data import rows


@dataclass(frozen=True)
class _BuriedRow:
    length_m: float
    factor: float
    high: float
    source: str
    from_memory: bool


@dataclass(frozen=True)
class _ConduitRow:
    area_mm2: float
    factor: float
    source: str
    from_memory: bool


def insulation_factor(buried_m: float) -> float:
    """Return the factor on the capacity of a cable that thermal insulation surrounds on all sides.

    A length between two rows takes the longer row; beyond the last row its factor stays.

    Parameters
    ----------
    buried_m : float
        Longest length that is surrounded, scalar, at least 0. [m]

    Returns
    -------
    float
        Factor, scalar, 1 for no length. [1]

    Raises
    ------
    ValueError
        If the length is negative or not finite.

    Examples
    --------
    >>> insulation_factor(0.0), insulation_factor(0.15), insulation_factor(2.0)
    (1.0, 0.63, 0.5)

    References
    ----------
    .. [1] BS 7671, Table 52.2 and 523.9; the table from memory, its lower figures decide.
    """
    if not_negative("buried_m", buried_m) == 0:
        return 1.0
    table = rows("thermal_insulation", _BuriedRow)
    return next((row.factor for row in table if buried_m <= row.length_m * 1.001), table[-1].factor)


def conduit_factor(area_mm2: float) -> float:
    """Return the factor on the capacity of a cable in conduit or trunking, against one clipped to a surface.

    A size between two rows takes the larger row; above the last row its factor stays.

    Parameters
    ----------
    area_mm2 : float
        Cross-section, scalar, above 0. [mm²]

    Returns
    -------
    float
        Factor, scalar. [1]

    Raises
    ------
    ValueError
        If the area is not a positive finite number.

    Examples
    --------
    >>> conduit_factor(2.5), conduit_factor(5.26), conduit_factor(70.0)
    (0.851, 0.826, 0.78)

    References
    ----------
    .. [1] SANS 10142-1:2019, Table 6.3(a); above 16 mm² IEC 60364-5-52:2009, Table B.52.2, from memory.
    """
    positive("area_mm2", area_mm2)
    table = rows("conduit_factor", _ConduitRow)
    return next((row.factor for row in table if area_mm2 <= row.area_mm2 * 1.001), table[-1].factor)
