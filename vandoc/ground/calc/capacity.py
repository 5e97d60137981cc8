"""Current-carrying capacity of cables, corrected for ambient temperature and grouping."""

from collections.abc import Callable
from dataclasses import dataclass
from functools import cache
from math import sqrt

from vandoc.ground.calc import conductor
from vandoc.ground.calc.enclosure import conduit_factor, insulation_factor
from vandoc.ground.calc.require import count, finite, positive
from vandoc.ground.data import constant, rows

BASES = ("33 CFR 183.425", "ISO 13297", "IEC 60364-5-52")


@dataclass(frozen=True)
class _AwgRow:
    awg: str
    insulation_c: float
    amps_a: float
    source: str
    from_memory: bool

    @property
    def area_mm2(self) -> float:
        return conductor.awg_area_mm2(self.awg)


@dataclass(frozen=True)
class _AreaRow:
    area_mm2: float
    insulation_c: float
    amps_a: float
    source: str
    from_memory: bool


@dataclass(frozen=True)
class _GroupingRow:
    basis: str
    circuits: int
    factor: float
    source: str
    from_memory: bool


@dataclass(frozen=True)
class CapacityTerms:
    """Current-carrying capacity and its factors; their product with ``base_a`` is the capacity.

    ``installation_factor`` is the one for thermal insulation times the one for conduit. ``area_mm2`` and
    ``insulation_c`` name the row and the column of the table that were used.
    """

    area_mm2: float
    insulation_c: float
    base_a: float
    ambient_factor: float
    grouping_factor: float
    installation_factor: float = 1.0


@dataclass(frozen=True)
class Capacity:
    """Continuous current-carrying capacity of a conductor, by one basis."""

    amps_a: float
    basis: str
    source: str
    from_memory: bool
    working: CapacityTerms


_TABLES: dict[str, Callable[[], tuple[_AwgRow, ...] | tuple[_AreaRow, ...]]] = {
    "33 CFR 183.425": lambda: rows("capacity_33_cfr", _AwgRow),
    "ISO 13297": lambda: rows("capacity_iso_13297", _AreaRow),
    "IEC 60364-5-52": lambda: rows("capacity_iec_60364", _AreaRow),
}


@cache
def _grid(basis: str) -> dict[float, list[tuple[float, float, str, bool]]]:
    """Map insulation temperature to (area, amps, source, from memory), in order of area."""
    grid: dict[float, list[tuple[float, float, str, bool]]] = {}
    for row in _TABLES[basis]():
        grid.setdefault(row.insulation_c, []).append((row.area_mm2, row.amps_a, row.source, row.from_memory))
    return {column: sorted(cells) for column, cells in grid.items()}


def _refuse_unknown(basis: str) -> None:
    if basis not in BASES:
        raise ValueError(f"basis must be one of {', '.join(BASES)}, got {basis!r}")


def table_capacity(area_mm2: float, insulation_c: float, basis: str) -> Capacity:
    """Return the capacity of a conductor under the reference conditions of a basis (30 °C, not grouped).

    A cross-section between two rows takes the smaller row; an insulation temperature between two columns the
    lower column. A row counts as reached from 0.1 % below its area, because areas are written rounded.

    Parameters
    ----------
    area_mm2 : float
        Cross-section, scalar, above 0. [mm²]
    insulation_c : float
        Temperature rating of the insulation, scalar. [°C]
    basis : str
        One of ``BASES``.

    Returns
    -------
    Capacity
        With both factors 1.

    Raises
    ------
    ValueError
        If the basis is not known, or the conductor is below the smallest row or lowest column or above the
        largest row.

    Examples
    --------
    >>> table_capacity(10.0, 105.0, "33 CFR 183.425").amps_a
    80.0

    References
    ----------
    .. [1] 33 CFR 183.425, Table 5.
    .. [2] ISO 13297:2020, annex on conductor capacity (from ISO 10133); from memory.
    .. [3] IEC 60364-5-52:2009, Tables B.52.2 and B.52.3, method C, two loaded conductors; from memory.
    """
    positive("area_mm2", area_mm2)
    finite("insulation_c", insulation_c)
    _refuse_unknown(basis)
    grid = _grid(basis)
    column = max((column for column in grid if column <= insulation_c), default=None)
    if column is None:
        lowest = f"it begins at {min(grid):g} °C"
        raise ValueError(f"{basis} has no column for insulation of {insulation_c:g} °C; {lowest}")
    cells = grid[column]
    reached = [cell for cell in cells if area_mm2 >= cell[0] * (1 - conductor.SAME_AREA)]
    if not reached or area_mm2 > cells[-1][0] * (1 + conductor.SAME_AREA):
        span = f"{cells[0][0]:.4g} to {cells[-1][0]:.4g} mm²"
        raise ValueError(f"{basis} has no row for {area_mm2:g} mm²; it covers {span}")
    area, amps, source, from_memory = reached[-1]
    return Capacity(amps, basis, source, from_memory, CapacityTerms(area, column, amps, 1.0, 1.0))


def ambient_factor(insulation_c: float, ambient_c: float) -> float:
    """Return the ambient-temperature factor on a capacity that is stated for 30 °C.

    sqrt((Tmax − Ta) / (Tmax − 30)), the law behind the rounded figures of the table; 0 at or above the
    insulation temperature rating. The table begins at 10 °C; a lower ambient temperature counts as 10 °C.

    Parameters
    ----------
    insulation_c : float
        Maximum conductor temperature, scalar, above 30. [°C]
    ambient_c : float
        Ambient temperature, scalar. [°C]

    Returns
    -------
    float
        Factor, scalar, 1 at 30 °C. [1]

    Raises
    ------
    ValueError
        If ``insulation_c`` is not above 30 °C or a number is not finite.

    Examples
    --------
    >>> round(ambient_factor(70.0, 50.0), 2), round(ambient_factor(90.0, 60.0), 2), ambient_factor(70.0, 70.0)
    (0.71, 0.71, 0.0)

    References
    ----------
    .. [1] IEC 60364-5-52:2009, Table B.52.14.
    """
    reference_c = constant("reference ambient").value
    if finite("insulation_c", insulation_c) <= reference_c:
        raise ValueError(f"insulation_c must be above {reference_c:g}, got {insulation_c!r}")
    ambient_c = max(finite("ambient_c", ambient_c), constant("coldest ambient").value)
    return sqrt(max(0.0, insulation_c - ambient_c) / (insulation_c - reference_c))


def grouping_factor(circuits: int, basis: str = "IEC 60364-5-52") -> float:
    """Return the grouping factor of a cable that is grouped with others.

    A count between two rows takes the row with more circuits. Positive and negative of one circuit count
    once. The figures of IEC 60364-5-52 serve every basis; ISO 13297 uses its own if they are lower.

    Parameters
    ----------
    circuits : int
        Loaded circuits in the group, this one included, scalar, 1 to 20. [1]
    basis : str, optional
        One of ``BASES``.

    Returns
    -------
    float
        Factor, scalar. [1]

    Raises
    ------
    ValueError
        If the basis is not known, or ``circuits`` is below 1 or above the last row: split such a group.

    Examples
    --------
    >>> grouping_factor(3), grouping_factor(10), grouping_factor(2, "ISO 13297")
    (0.7, 0.45, 0.7)

    References
    ----------
    .. [1] IEC 60364-5-52:2009, Table B.52.17, first arrangement (bunched).
    .. [2] ISO 13297:2020, annex; from memory. 33 CFR 183.435 requires no factor below 50 V.
    """
    count("circuits", circuits)
    _refuse_unknown(basis)
    found = []
    for standard in {"IEC 60364-5-52", basis}:
        table = [row for row in rows("grouping_factor", _GroupingRow) if row.basis == standard]
        reached = [row for row in table if row.circuits >= circuits]
        if table and not reached:
            raise ValueError(f"the grouping table ends at {table[-1].circuits} circuits, got {circuits}")
        found += [min(reached, key=lambda row: row.circuits).factor] if reached else []
    return min(found)


def capacity(
    area_mm2: float,
    insulation_c: float,
    ambient_c: float,
    grouped_circuits: int,
    basis: str,
    *,
    buried_m: float = 0.0,
    conduit: bool = False,
) -> Capacity:
    """Return the capacity of a cable as installed.

    The table's figure times the factors for the ambient temperature (of the column used), for grouping, for
    thermal insulation and for conduit. An ambient temperature below 30 °C never raises the capacity, because
    a van also heats up in the sun.

    Parameters
    ----------
    area_mm2 : float
        Cross-section, scalar, above 0. [mm²]
    insulation_c : float
        Temperature rating of the insulation, scalar. [°C]
    ambient_c : float
        Maximum ambient temperature along the cable, scalar. [°C]
    grouped_circuits : int
        Loaded circuits in the group, this one included, scalar, 1 to 20. [1]
    basis : str
        One of ``BASES``.
    buried_m : float, optional
        Longest length within thermal insulation, scalar, at least 0. [m]
    conduit : bool, optional
        Whether it runs in conduit or trunking.

    Returns
    -------
    Capacity
        ``amps_a`` is 0 if the ambient temperature reaches that of the column used.

    Raises
    ------
    ValueError
        As :func:`table_capacity`, :func:`ambient_factor`, :func:`grouping_factor` and those of `enclosure`.

    Examples
    --------
    >>> found = capacity(10.0, 90.0, 50.0, 2, "33 CFR 183.425")
    >>> found.working.base_a, round(found.working.ambient_factor, 3), found.working.grouping_factor
    (70.0, 0.816, 0.8)
    >>> round(found.amps_a, 1)
    45.7

    References
    ----------
    .. [1] IEC 60364-5-52:2009, 523 and Tables B.52.14, B.52.17.
    """
    base = table_capacity(area_mm2, insulation_c, basis)
    ambient = min(1.0, ambient_factor(base.working.insulation_c, ambient_c))
    grouping = grouping_factor(grouped_circuits, basis)
    laid = insulation_factor(buried_m) * (conduit_factor(area_mm2) if conduit else 1.0)
    row, column = base.working.area_mm2, base.working.insulation_c
    working = CapacityTerms(row, column, base.amps_a, ambient, grouping, laid)
    return Capacity(base.amps_a * ambient * grouping * laid, basis, base.source, base.from_memory, working)
