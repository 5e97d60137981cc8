"""A table that is shown on a page and written for a spreadsheet."""

import csv
from collections.abc import Sequence
from dataclasses import dataclass
from io import StringIO

from vandoc.ground.figures import stated
from vandoc.pages.manual.text import clean, say

Cell = str | float | int
# What a spreadsheet takes for the beginning of a formula (OWASP, "CSV Injection").
_FORMULA = ("=", "+", "-", "@", "\t", "\r", "＝", "＋", "－", "＠")


@dataclass(frozen=True)
class Table:
    """A table.

    Attributes
    ----------
    key : str
        Names its headings in `words.yml` under ``list``, and its file.
    rows : tuple of tuple of (str, float or int)
        As many cells in each as there are headings; numbers are in the unit of the heading.
    """

    key: str
    rows: tuple[tuple[Cell, ...], ...]

    @property
    def headings(self) -> tuple[str, ...]:
        """The words at the top of its columns."""
        return tuple(say(f"list.{self.key}").split(" | "))

    @property
    def shown(self) -> list[list[str]]:
        """Its cells as a page shows them."""
        return [[cell if isinstance(cell, str) else stated(cell) for cell in row] for row in self.rows]

    @property
    def path(self) -> str:
        """Its file in the manual."""
        return f"lists/{self.key}.csv"

    def csv(self) -> bytes:
        """Return the table as RFC 4180 has it, in UTF-8 with a mark that spreadsheets know it by.

        No cell begins like a formula: what would is kept as text by an apostrophe before it.
        """
        stream = StringIO(newline="")
        writer = csv.writer(stream)
        writer.writerow([guarded(heading) for heading in self.headings])
        writer.writerows([guarded(cell) for cell in row] for row in self.rows)
        return stream.getvalue().encode("utf-8-sig")


def guarded(cell: Cell) -> str:
    """Return a cell as text that no spreadsheet reads as a formula.

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
    """Return each different row once, with how often it stands as its last cell, in the order of the rows."""
    counts: dict[tuple[Cell, ...], int] = {}
    for item in items:
        counts[item] = counts.get(item, 0) + 1
    return tuple((*item, count) for item, count in counts.items())
