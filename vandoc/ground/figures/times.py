"""Times for electricians: minutes below an hour, hours below two days, then days; two digits."""

from vandoc.ground.figures.amounts import in_unit, unit_word
from vandoc.ground.figures.numbers import DIGITS, Sure, clean, fixed, number
from vandoc.ground.figures.words import WORDS, say

HOURS_A_DAY = 24.0
LONGEST_H = 48.0  # longest time shown in hours; longer ones are in days
TIME_DIGITS = 2
_DAY_H = (18.0, 36.0)  # range that is called about one day


def duration(
    low_h: float,
    high_h: float | None = None,
    sure: Sure = "nearest",
    digits: int = TIME_DIGITS,
    in_days: bool = False,
) -> str:
    """Format a time or a range of times given in hours, in the unit of the longer end.

    Parameters
    ----------
    low_h, high_h : float
        Finite. [h]
    sure : {"nearest", "down", "up"}
    digits : int
        Significant digits; whole minutes, hours and days are never rounded further.
    in_days : bool
        Whether to use days whatever the length, because only daytime counts.

    Examples
    --------
    >>> [duration(*ends, sure="down").replace("\\xa0", " ") for ends in ((0.555, 0.974), (22.6, 35.8))]
    ['33 to 58 min', '22 to 35 h']
    >>> duration(42.0, 69.36, sure="down"), duration(626.0, sure="down")
    ('1.7 to 2.8\\xa0days', '26\\xa0days')
    """
    longer_h = low_h if high_h is None else high_h
    hours, unit = (HOURS_A_DAY, "d") if in_days else scale(longer_h)
    low, high = (_digits(value / hours, digits, sure) for value in (low_h, longer_h))
    last = in_unit(high, WORDS["one.d"] if unit == "d" and high == "1" else unit_word(unit))
    return last if low == high else say("range", low=low, high=last)


def scale(longest_h: float) -> tuple[float, str]:
    """Return the hours in a unit, and the unit in which a time is shown: `min`, `h` or `d`."""
    if longest_h < 1:
        return 1 / 60, "min"
    return (1.0, "h") if longest_h < LONGEST_H else (HOURS_A_DAY, "d")


def time_left(hours: float, limit_h: float) -> str:
    """Format a duration shorter than a required number of days, never rounded up to that number.

    Examples
    --------
    >>> [time_left(h, 72.0).replace("\\xa0", " ") for h in (5.26, 22.632, 69.4, 71.9)]
    ['5.2 h', 'about 1 day (22.6 h)', '2.8 days', '2.9 days']
    >>> time_left(22.632, 24.0).replace("\\xa0", " ")
    '22.6 h'
    """
    shortest, longest = _DAY_H
    if shortest <= hours < longest and limit_h >= LONGEST_H:
        return say("about_a_day", exact=in_unit(number(hours, DIGITS, "down"), "h"))
    digits = DIGITS if shortest <= hours < LONGEST_H else TIME_DIGITS
    return duration(hours, sure="down", digits=digits)


def _digits(value: float, digits: int, sure: Sure) -> str:
    whole = clean(value)
    if not whole or whole.adjusted() >= digits - 1:
        return fixed(value, 0, sure)
    return number(value, digits, sure)
