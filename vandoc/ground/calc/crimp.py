"""The pull that a crimped lug must hold."""

from dataclasses import dataclass
from itertools import pairwise

from vandoc.ground.calc.conductor import awg_area_mm2
from vandoc.ground.calc.require import positive
from vandoc.ground.data import rows


@dataclass(frozen=True)
class _PullRow:
    awg: str
    newtons: float
    source: str
    from_memory: bool


@dataclass(frozen=True)
class Pull:
    """A pull that a crimp must hold for a minute. [N]"""

    newtons: float
    source: str
    from_memory: bool


def least_pull(area_mm2: float) -> Pull:
    """Return the pull that a crimp on a copper conductor must hold for a minute.

    Between two sizes of the table it rises in proportion to the cross-section. Beyond its ends the nearest
    row counts, so that a larger cable is asked for no less.

    Parameters
    ----------
    area_mm2 : float
        Cross-section, scalar, above 0. [mm²]

    Returns
    -------
    Pull

    Raises
    ------
    ValueError
        If the area is not a positive number.

    Examples
    --------
    >>> round(least_pull(16.0).newtons), round(least_pull(95.0).newtons)
    (506, 1335)

    References
    ----------
    .. [1] UL 486A:2003 section 12.
    """
    positive("area_mm2", area_mm2)
    table = [(awg_area_mm2(row.awg), row) for row in rows("crimp_pull", _PullRow)]
    first, last = table[0][1], table[-1][1]
    for (small, below), (large, above) in pairwise(table):
        if small <= area_mm2 <= large:
            share = (area_mm2 - small) / (large - small)
            newtons = below.newtons + share * (above.newtons - below.newtons)
            return Pull(newtons, above.source, above.from_memory)
    end = last if area_mm2 > table[-1][0] else first
    return Pull(end.newtons, end.source, end.from_memory)
