"""Numbers as findings show them: three significant digits, no trailing zeros, a space before the unit."""

from dataclasses import dataclass
from math import floor, isfinite, log10

DIGITS = 3
MOST_DIGITS = 6


@dataclass(frozen=True)
class Amount:
    """A number with its unit; the unit is empty for a plain number."""

    value: float
    unit: str = ""

    def text(self, digits: int = DIGITS) -> str:
        """Return it as shown.

        Examples
        --------
        >>> Amount(11.8963, "A").text(), Amount(4.0, "mm²").text(), Amount(12750.0, "A").text()
        ('11.9 A', '4 mm²', '12800 A')
        >>> Amount(-0.0, "°C").text(), Amount(0.00123456, "Ω").text(5)
        ('0 °C', '0.0012346 Ω')
        """
        if not isfinite(self.value):
            raise ValueError(f"a finding shows finite numbers only, got {self.value!r}")
        number = self.value or 0.0
        places = digits - 1 - floor(log10(abs(number))) if number else 0
        shown = f"{round(number, places):.{max(places, 0)}f}"
        if "." in shown:
            shown = shown.rstrip("0").rstrip(".")
        return f"{shown} {self.unit}" if self.unit else shown

    def __str__(self) -> str:
        return self.text()


def digits_to_tell_apart(value: Amount | None, limit: Amount | None) -> int:
    """Return how many digits it takes to show that two amounts differ, `DIGITS` where they do not.

    Examples
    --------
    >>> digits_to_tell_apart(Amount(10.004, "%"), Amount(10.0, "%"))
    5
    """
    if value is None or limit is None or value == limit:
        return DIGITS
    counts = range(DIGITS, MOST_DIGITS + 1)
    return next((n for n in counts if value.text(n) != limit.text(n)), MOST_DIGITS)
