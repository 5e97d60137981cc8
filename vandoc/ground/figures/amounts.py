"""Quantities and ranges for electricians: three digits, the unit once, with its usual prefix."""

from decimal import Decimal
from functools import lru_cache
from math import isinf

from vandoc.ground.calc.conductor import AWG_SIZES, SAME_AREA, awg_areas_mm2
from vandoc.ground.figures.numbers import DIGITS, Sure, clean, number, rounded, significant, written
from vandoc.ground.figures.words import WORDS, say
from vandoc.ground.measures import METRIC, measured, measures
from vandoc.ground.messages import Voice, voice
from vandoc.ground.unknown import cannot_tell, in_words

NO_BREAK = "\u00a0"
STATED_DIGITS = 6
CONVERTED_DIGITS = 4  # of a stated value in another unit than it is kept in
# Thresholds from which a unit takes a prefix, largest first: (from, factor, unit).
PREFIXES: dict[str, tuple[tuple[float, float, str], ...]] = {
    "A": ((1000.0, 1e-3, "kA"), (0.1, 1.0, "A"), (0.0, 1e3, "mA")),
    "V": ((1.0, 1.0, "V"), (0.0, 1e3, "mV")),
    "Ω": ((1000.0, 1e-3, "kΩ"), (1.0, 1.0, "Ω"), (0.0, 1e3, "mΩ")),
    "lbf·ft": ((10.0, 1.0, "lbf·ft"), (0.0, 12.0, "lbf·in")),
    "A²s": ((1e6, 1e-6, "MA²s"), (1000.0, 1e-3, "kA²s"), (0.0, 1.0, "A²s")),
}
SHORT_DIGITS = 2  # for times below one second
BATTERY_PLACES = 2  # for the voltage of a battery or a device


def plain(text: str) -> str:
    """Return text for a terminal or a drawing, where a number and its unit are never split between lines."""
    return text.replace(NO_BREAK, " ")


def in_unit(number_: str, unit: str) -> str:
    """Return a number already formatted as text, with its unit."""
    return f"{number_}{NO_BREAK}{unit}" if unit else number_


def quantity(
    value: float, unit: str, digits: int = DIGITS, sure: Sure = "nearest", places: int | None = None
) -> str:
    """Format a number with its unit: three digits, currents from 1000 A in kA, voltages below 1 V in mV.

    Parameters
    ----------
    value : float
        Finite.
    unit : str
        An SI symbol; `a` for years, `d` for days, `Ah/d` and similar are written as words.
    digits : int
        More than three to distinguish a value from a limit.
    sure : {"nearest", "down", "up"}
    places : int, optional
        Decimal places instead of digits, if the unit takes no prefix: 2 for a battery voltage.
        None for zero.

    Examples
    --------
    >>> [plain(quantity(*one)) for one in ((8827.0, "A"), (0.238, "V"), (0.00103, "s"), (35.96, "s"))]
    ['8.83 kA', '238 mV', '1 ms', '36 s']
    >>> plain(quantity(12.7, "V", places=2)), plain(quantity(1.0, "d")), plain(quantity(22783, "Ah/a"))
    ('12.70 V', '1 day', '22800 Ah a year')
    """
    if cannot_tell(value):
        return in_words(value)
    return _quantity(value, unit, digits, sure, places, voice())


@lru_cache(maxsize=1 << 14)  # a cable that many circuits share is in the working of each
def _quantity(
    value: float,
    unit: str,
    digits: int,
    sure: Sure,
    places: int | None,
    words_of: Voice,  # noqa: ARG001 (signs and words differ)
) -> str:
    if unit == "s":
        return _seconds(value, digits)
    if gauge := _gauge(value, unit):
        return gauge
    value, unit = measured(value, unit)
    factor, shown_unit = _prefix(value, unit, digits, sure)
    scaled = clean(value * factor)
    if places is not None and factor == 1.0 and value:
        return in_unit(written(rounded(scaled, places, sure), padded=True), shown_unit)
    return _with_word(written(significant(scaled, digits, sure)), shown_unit)


def span(
    low: float,
    high: float,
    unit: str,
    digits: int = DIGITS,
    sure: Sure = "nearest",
    places: int | None = None,
) -> str:
    """Format a range with its unit once, or a single quantity if both ends look the same.

    The unit is that of the higher end; times below a second keep their own. An infinite end is shown as ∞.

    Examples
    --------
    >>> plain(span(203.0, 1210.0, "A")), plain(span(4.0, 4.001, "Ah")), plain(span(0.0053, 1.0, "s"))
    ('0.203 to 1.21 kA', '4 Ah', '5.3 ms to 1 s')
    """
    if cannot_tell(low) or cannot_tell(high):
        return in_words(low if cannot_tell(low) else high)
    if isinf(high):
        return in_unit(say("range", low=_end(low, unit, digits), high="∞"), "") if not isinf(low) else "∞"
    last = quantity(high, unit, digits, sure, places)
    if unit == "s":
        first = quantity(low, unit, digits)
        return last if first == last else between(first, last)
    (high, unit), (low, _) = measured(high, unit), measured(low, unit)
    factor, _ = _prefix(high, unit, digits, sure)
    scaled = clean(low * factor)
    if places is not None and factor == 1.0:
        first = written(rounded(scaled, places, sure), padded=True)
    else:
        first = written(significant(scaled, digits, sure))
    return last if first == last.partition(NO_BREAK)[0] else say("range", low=first, high=last)


def between(low: str, high: str) -> str:
    """Join two formatted figures into a range; a common unit is written once.

    Examples
    --------
    >>> plain(between(quantity(1.9, "V"), quantity(12.4, "V"))), plain(between("190\\xa0mV", "1.9\\xa0V"))
    ('1.9 to 12.4 V', '190 mV to 1.9 V')
    """
    number_, _, unit = low.partition(NO_BREAK)
    return say("range", low=number_ if high.partition(NO_BREAK)[2] == unit else low, high=high)


def stated(value: float, unit: str = "") -> str:
    """Format a stated or printed value unchanged: a fuse rating, a cable size, a capacity.

    Only the usual prefix is applied: a breaking capacity of 20000 A is 20 kA.

    Examples
    --------
    >>> stated(7.5), plain(stated(1255.0, "W")), plain(stated(0.1500001, "m")), plain(stated(48213, "km"))
    ('7.5', '1255 W', '0.15 m', '48213 km')
    """
    if cannot_tell(value):
        return in_words(value)
    if gauge := _gauge(value, unit):
        return gauge
    digits, other = STATED_DIGITS, measured(value, unit)
    if other[1] != unit:
        digits, value, unit = CONVERTED_DIGITS, *other
        factor, unit = _prefix(value, unit, digits, "nearest")
        value *= factor
    if unit == "A" and abs(value) >= PREFIXES["A"][0][0]:
        value, unit = value / 1000, "kA"
    return in_unit(number(value, digits), unit)


def bare(value: float, unit: str) -> str:
    """Format a stated value as :func:`stated`, without its unit: for a heading or a formula that has it.

    Examples
    --------
    >>> bare(105.0, "°C"), bare(4.2, "m")
    ('105', '4.2')
    """
    if cannot_tell(value):
        return in_words(value)
    converted, other = measured(value, unit)
    return number(converted, STATED_DIGITS if other == unit else CONVERTED_DIGITS)


def unit_word(unit: str) -> str:
    """Return the displayed form of a unit: its symbol, or words for a unit of time or a rate.

    Examples
    --------
    >>> unit_word("Ah"), unit_word("Ah/a"), unit_word("d")
    ('Ah', 'Ah a year', 'days')
    """
    words: dict[str, str] = WORDS["units"]
    return words.get(unit, measured(0.0, unit)[1])


def _end(value: float, unit: str, digits: int) -> str:
    return quantity(value, unit, digits) if unit else number(value, digits)


def _gauge(value: float, unit: str) -> str:
    """Return the gauge that a cross-section is of, in the units of the United States; otherwise empty."""
    if unit != "mm²" or measures() == METRIC:
        return ""
    areas = zip(AWG_SIZES, awg_areas_mm2(), strict=True)
    found = next((size for size, area in areas if abs(value - area) <= SAME_AREA * area), None)
    return in_unit(found, "AWG") if found else ""


def _prefix(value: float, unit: str, digits: int, sure: Sure) -> tuple[float, str]:
    """Return the factor and unit of a value, chosen after rounding."""
    if unit not in PREFIXES or not value:
        return 1.0, unit
    looks = abs(significant(clean(value), digits, sure))
    return next((factor, name) for least, factor, name in PREFIXES[unit] if looks >= Decimal(str(least)))


def _with_word(shown: str, unit: str) -> str:
    one: dict[str, str] = WORDS["one"]
    return in_unit(shown, one[unit] if shown == "1" and unit in one else unit_word(unit))


def _seconds(value: float, digits: int) -> str:
    """Format a time in seconds or milliseconds: two digits below a second, else at most one decimal place."""
    exact, more = clean(value), max(0, digits - DIGITS)  # extra digits distinguish it from a limit
    if 0 < abs(exact) < Decimal("0.9995"):
        return in_unit(written(significant(exact * 1000, SHORT_DIGITS + more)), "ms")
    return in_unit(written(rounded(exact, 1 + more) if abs(exact) < 100 else significant(exact, digits)), "s")
