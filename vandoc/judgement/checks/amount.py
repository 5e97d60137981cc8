"""Numbers as findings show them: rounded by quantity, with plain spaces for a terminal."""

from dataclasses import dataclass

from vandoc.ground.figures import DIGITS, plain, quantity
from vandoc.ground.unknown import UNKNOWN, cannot_tell

MOST_DIGITS = 6


@dataclass(frozen=True)
class Amount:
    """A number with its unit (empty for a plain number); `places` sets decimals instead of digits."""

    value: float
    unit: str = ""
    places: int | None = None

    def text(self, digits: int = DIGITS) -> str:
        """Return the number with its unit as text.

        Examples
        --------
        >>> Amount(11.8963, "A").text(), Amount(4.0, "mm²").text(), Amount(12750.0, "A").text()
        ('11.9 A', '4 mm²', '12.8 kA')
        >>> Amount(-0.0, "°C").text(), Amount(0.00123456, "Ω").text(5), Amount(12.7, "V", 2).text()
        ('0 °C', '1.2346 mΩ', '12.70 V')
        """
        if cannot_tell(self.value):
            return str(UNKNOWN)
        places = None if self.places is None else self.places + digits - DIGITS
        return plain(quantity(self.value, self.unit, digits, places=places))

    def __str__(self) -> str:
        return self.text()


def digits_to_tell_apart(value: Amount | None, limit: Amount | None) -> int:
    """Return the number of digits that shows that two amounts differ; `DIGITS` if they are equal.

    Examples
    --------
    >>> digits_to_tell_apart(Amount(10.004, "%"), Amount(10.0, "%"))
    5
    """
    if value is None or limit is None or value == limit:
        return DIGITS
    counts = range(DIGITS, MOST_DIGITS + 1)
    return next((n for n in counts if value.text(n) != limit.text(n)), MOST_DIGITS)
