"""The standards a van can be judged by, and how one of them is chosen for a limit.

The stricter decides unless the van file names its basis. Where the named basis gives no figure for the case
in hand, the strictest of the others decides, and the result names that one.
"""

from collections.abc import Callable, Iterable
from typing import Protocol, TypeVar

BASES = ("33 CFR 183.425", "ISO 13297", "IEC 60364-5-52", "ABYC E-11")


class HasBasis(Protocol):
    """A row of a table that belongs to one basis."""

    @property
    def basis(self) -> str: ...

    @property
    def from_memory(self) -> bool: ...


Row = TypeVar("Row", bound=HasBasis)


def strictest(rows: Iterable[Row], basis: str | None, figure: Callable[[Row], float]) -> Row:
    """Return the row that decides: the one with the smallest figure, of the named basis where it has one.

    Of equal figures one that was read in print goes before one from memory.

    Parameters
    ----------
    rows : iterable of row
        The rows for the case in hand, at least one.
    basis : str or None
        One of ``BASES``, or None when the van file names none.
    figure : callable
        The limit of a row; smaller is stricter.

    Returns
    -------
    row
        The deciding row.

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
