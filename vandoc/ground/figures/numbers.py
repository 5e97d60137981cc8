"""Number formatting: digits and direction of rounding."""

from decimal import ROUND_CEILING, ROUND_FLOOR, ROUND_HALF_EVEN, Context, Decimal
from math import isfinite
from typing import Literal

from vandoc.ground.speech import speech
from vandoc.ground.unknown import cannot_tell, in_words

Sure = Literal["nearest", "down", "up"]
"""Rounding direction: `down` for a value that is available, `up` for one that is needed."""

DIGITS = 3
_MODES = {"nearest": ROUND_HALF_EVEN, "down": ROUND_FLOOR, "up": ROUND_CEILING}
_WIDE = Context(prec=700)  # any float fits


def clean(value: float) -> Decimal:
    """Return a finite number without floating-point noise: rounded to twelve digits.

    Raises
    ------
    ValueError
        If it is infinite or not a number.
    """
    if not isfinite(value):
        raise ValueError(f"only a finite number can be shown, got {value!r}")
    return Decimal(f"{value:.12g}")


def rounded(value: Decimal, places: int, sure: Sure = "nearest") -> Decimal:
    """Round a number to decimal places, or to tens and hundreds if `places` is negative."""
    return value.quantize(Decimal(1).scaleb(-places), _MODES[sure], _WIDE)


def significant(value: Decimal, digits: int, sure: Sure = "nearest") -> Decimal:
    """Round a number to significant digits."""
    return rounded(value, digits - 1 - value.adjusted(), sure) if value else value


def written(value: Decimal, *, padded: bool = False) -> str:
    """Format a number with a typographic minus sign; without trailing zeros unless `padded`."""
    shown = f"{value:f}"
    if "." in shown and not padded:
        shown = shown.rstrip("0").rstrip(".")
    if not shown.strip("-0."):
        shown = shown.removeprefix("-")
    return speech().number(shown)


def number(value: float, digits: int = DIGITS, sure: Sure = "nearest") -> str:
    """Format a number to significant digits.

    Examples
    --------
    >>> number(12.345), number(8827.4), number(0.00512), number(-10.0), number(22.68, sure="down")
    ('12.3', '8830', '0.00512', '−10', '22.6')
    """
    return in_words(value) if cannot_tell(value) else written(significant(clean(value), digits, sure))


def fixed(value: float, places: int, sure: Sure = "nearest") -> str:
    """Format a number to decimal places, keeping zeros.

    Examples
    --------
    >>> fixed(12.4, 2), fixed(-0.001, 1), fixed(58.9, 0)
    ('12.40', '0.0', '59')
    """
    if cannot_tell(value):
        return in_words(value)
    return written(rounded(clean(value), places, sure), padded=True)
