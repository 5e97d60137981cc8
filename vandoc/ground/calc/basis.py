"""Standards that can serve as the basis of a check, and the choice of one of them for a limit.

The stricter standard applies unless the van file names its basis. If the named basis has no figure for the
case, the strictest of the others applies, and the result names it.
"""

from collections.abc import Callable, Iterable
from typing import Protocol, TypeVar

BASES = ("33 CFR 183.425", "ISO 13297", "IEC 60364-5-52", "ABYC E-11")


class HasBasis(Protocol):
    """Row of a table that belongs to one basis."""

    @property
    def basis(self) -> str: ...

    @property
    def from_memory(self) -> bool: ...


Row = TypeVar("Row", bound=HasBasis)


def strictest(rows: Iterable[Row], basis: str | None, figure: Callable[[Row], float]) -> Row:
    """Return the applicable row: the one with the smallest figure, from the named basis if it has one.

    Of equal figures, one that was read in print takes precedence over one from memory.

    Parameters
    ----------
    rows : iterable of row
        The rows for the case, at least one.
    basis : str or None
        One of ``BASES``, or None if the van file names none.
    figure : callable
        The limit of a row; smaller is stricter.

    Returns
    -------
    row
        The applicable row.

    Raises
    ------
    ValueError
        If ``basis`` is not known or there is no row.

    Examples
    --------
    >>> from collections import namedtuple
    >>> Row = namedtuple("Row", "basis percent from_memory")
    >>> rows = [Row("ISO 13297", 10, True), Row("IEC 60364-5-52", 8, False)]
    >>> strictest(rows, None, lambda row: row.percent).basis
    'IEC 60364-5-52'
    >>> strictest(rows, "ISO 13297", lambda row: row.percent).percent
    10
    """
    if basis is not None and basis not in BASES:
        raise ValueError(f"basis must be one of {', '.join(BASES)}, got {basis!r}")
    candidates = list(rows)
    if not candidates:
        raise ValueError("no basis gives a figure for this case")
    named = [row for row in candidates if row.basis == basis]
    return min(named or candidates, key=lambda row: (figure(row), row.from_memory, row.basis))
