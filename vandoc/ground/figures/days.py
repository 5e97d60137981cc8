"""Dates and months in text."""

from collections.abc import Iterable
from datetime import date

from vandoc.ground.speech import speech


def month(number: int) -> str:
    """Return the name of a month, 1 to 12.

    Examples
    --------
    >>> month(7)
    'July'
    """
    return speech().month(number)


def months(numbers: Iterable[int]) -> list[str]:
    """Return the names of months."""
    return [month(number) for number in numbers]


def day(value: date) -> str:
    """Format a date.

    Examples
    --------
    >>> day(date(2026, 5, 12))
    '12 May 2026'
    """
    return speech().day(value)


def year_month(value: date) -> str:
    """Format the month of a forecast.

    Examples
    --------
    >>> year_month(date(2026, 10, 3))
    'October 2026'
    """
    return speech().year_month(value)
