"""Shares of a whole that was counted, with the interval in which the true share is likely to be."""

from math import sqrt

NORMAL_95 = 1.959964
"""Two-sided 95 % quantile of the normal distribution. [1]"""


def share_interval(part: int, whole: int) -> tuple[float, float]:
    """Return the 95 % interval of a share.

    Parameters
    ----------
    part, whole : int
        `whole` is 1 or more.

    Returns
    -------
    tuple of float
        Lower and upper limit, 0 to 1.

    References
    ----------
    Wilson, E. B., "Probable inference, the law of succession, and statistical inference", Journal of the
    American Statistical Association 22 (1927), 209-212.

    Examples
    --------
    >>> [round(limit, 4) for limit in share_interval(81, 263)]
    [0.2553, 0.3662]
    """
    share, extra = part / whole, NORMAL_95**2 / whole
    middle = (share + extra / 2) / (1 + extra)
    half = NORMAL_95 * sqrt(share * (1 - share) / whole + extra / (4 * whole)) / (1 + extra)
    return max(0.0, middle - half), min(1.0, middle + half)
