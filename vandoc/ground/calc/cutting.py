"""Cable cutting: length to cut for a length as laid, and default conductor colours."""

from dataclasses import dataclass
from math import ceil, isfinite
from typing import Literal

from vandoc.ground.data import constant, rows

Role = Literal["positive", "negative"]


@dataclass(frozen=True)
class Colour:
    """Usual insulation colour of a conductor, by its function."""

    role: str
    colour: str
    source: str
    from_memory: bool


def cut_length_m(laid_m: float) -> float:
    """Return the length to cut for a cable of a given laid length.

    Adds a percentage for bends and a fixed length at each end for stripping and crimping, then rounds up.

    Parameters
    ----------
    laid_m : float
        Length measured along the route, scalar, 0 or more. [m]

    Returns
    -------
    float
        Length to cut, scalar. [m]

    Raises
    ------
    ValueError
        If ``laid_m`` is negative or not finite.

    Examples
    --------
    >>> cut_length_m(2.0)
    2.2
    >>> cut_length_m(0.15)
    0.3

    References
    ----------
    .. [1] Own choice; see the rows "cable slack", "cable end" and "cutting step" of constants.csv.
    """
    if not (isfinite(laid_m) and laid_m >= 0):
        raise ValueError(f"laid_m must be 0 or more, got {laid_m!r}")
    slack, end, step = (constant(name).value for name in ("cable slack", "cable end", "cutting step"))
    wanted = laid_m * (1 + slack) + 2 * end
    return round(ceil(round(wanted / step, 6)) * step, 6)


def usual_colour(role: Role) -> Colour:
    """Return the usual colour of an extra-low-voltage DC conductor.

    Examples
    --------
    >>> usual_colour("negative").colour
    'black'

    References
    ----------
    .. [1] ISO 10133:2012, from memory.
    """
    return next(row for row in rows("conductor_colours", Colour) if row.role == role)
