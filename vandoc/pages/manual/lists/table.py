"""Tables for a page and for a spreadsheet file."""

import csv
from collections.abc import Sequence
from dataclasses import dataclass
from io import StringIO

from vandoc.ground.figures import stated
from vandoc.pages.manual.text import clean, say

Cell = str | float | int
# Characters with which a spreadsheet formula can begin (OWASP, "CSV Injection").
_FORMULA = ("=", "+", "-", "@", "\t", "\r", "＝", "＋", "－", "＠")


@dataclass(frozen=True)
class Table:
    """A table for a page and for a spreadsheet.

    Attributes
    ----------
    key : str
        Key of its headings in `words.yml` under ``list``, and name of its file.
    rows : tuple of tuple of (str, float or int)
        One cell per heading; numbers are in the unit of the heading.
    """

    key: str
    rows: tuple[tuple[Cell, ...], ...]

    @property
    def headings(self) -> tuple[str, ...]:
        """The column headings."""
        return tuple(say(f"list.{self.key}").split(" | "))

    @property
    def shown(self) -> list[list[str]]:
        """The cells as text for a page."""
        return [[cell if isinstance(cell, str) else stated(cell) for cell in row] for row in self.rows]

    @property
    def path(self) -> str:
        """The path of its file in the manual."""
        return f"lists/{self.key}.csv"

    def csv(self) -> bytes:
        """Return the table as CSV (RFC 4180) in UTF-8 with a byte order mark, which spreadsheets recognise.

        A cell that could be read as a formula is prefixed with an apostrophe.
        """
        stream = StringIO(newline="")
        writer = csv.writer(stream)
        writer.writerow([guarded(heading) for heading in self.headings])
        writer.writerows([guarded(cell) for cell in row] for row in self.rows)
        return stream.getvalue().encode("utf-8-sig")


def guarded(cell: Cell) -> str:
    """Return a cell as text that a spreadsheet does not evaluate as a formula.

    Examples
    --------
    >>> guarded("=1+1"), guarded("  @x"), guarded(-0.5), guarded("2 m")
    ("'=1+1", "'@x", '-0.5', '2 m')
    """
    if not isinstance(cell, str):
        return f"{cell:g}"
    text = clean(cell).strip()
    return f"'{text}" if text.startswith(_FORMULA) else text


def counted(items: Sequence[tuple[Cell, ...]]) -> tuple[tuple[Cell, ...], ...]:
    """Return each distinct row once, in order, with its number of occurrences as the last cell."""
    counts: dict[tuple[Cell, ...], int] = {}
    for item in items:
        counts[item] = counts.get(item, 0) + 1
    return tuple((*item, count) for item, count in counts.items())
