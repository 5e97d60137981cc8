"""Tables for a page and for a spreadsheet file."""

import csv
from collections.abc import Sequence
from dataclasses import dataclass, replace
from io import StringIO

from vandoc.ground.figures import stated
from vandoc.pages.manual.text import clean, say

Cell = str | float | int
LENGTHS = ("laid", "cut", "total", "longest")  # columns in the unit of lengths
# Characters with which a spreadsheet formula can begin (OWASP, "CSV Injection").
_FORMULA = ("=", "+", "-", "@", "\t", "\r", "＝", "＋", "－", "＠")


@dataclass(frozen=True)
class Table:
    """A table for a page, for the bench and for a spreadsheet.

    Attributes
    ----------
    key : str
        Name of its file.
    columns : tuple of str
        Names of its columns, which a spreadsheet can rely on; keys of the headings under ``list.column``.
    rows : tuple of tuple of (str, float or int)
        One cell per column; numbers are in the unit of the column, or of the column with the unit.
    hidden : frozenset of str
        Columns that a page leaves out, since they are for the bench; it also leaves out those without a cell.
    length_unit : str
        Unit of its lengths, for the headings of a page; a file has it in a column of its own.
    """

    key: str
    columns: tuple[str, ...]
    rows: tuple[tuple[Cell, ...], ...]
    hidden: frozenset[str] = frozenset()
    length_unit: str = ""

    @property
    def visible(self) -> tuple[str, ...]:
        """The columns of a page."""
        return tuple(
            column
            for number, column in enumerate(self.columns)
            if column not in self.hidden and any(row[number] != "" for row in self.rows)
        )

    @property
    def headings(self) -> tuple[str, ...]:
        """The column headings of a page."""
        return tuple(self.heading(column) for column in self.visible)

    def heading(self, column: str) -> str:
        """Return the heading of a column, with the unit of lengths."""
        name = say(f"list.column.{column}")
        return (
            say("list.with_unit", name=name, unit=self.length_unit)
            if self.length_unit and column in LENGTHS
            else name
        )

    @property
    def shown(self) -> list[list[str]]:
        """The cells as text for a page."""
        places = [self.columns.index(column) for column in self.visible]
        return [[_text(row[place]) for place in places] for row in self.rows]

    @property
    def path(self) -> str:
        """The path of its file in the manual."""
        return f"lists/{self.key}.csv"

    def without(self, *columns: str) -> "Table":
        """Return the table with further columns that are not shown."""
        return replace(self, hidden=self.hidden | frozenset(columns))

    def showing(self, *columns: str) -> "Table":
        """Return the table with columns that are shown too."""
        return replace(self, hidden=self.hidden - frozenset(columns))

    def csv(self) -> bytes:
        """Return the table as CSV (RFC 4180) in UTF-8 with a byte order mark, which spreadsheets recognise.

        The first row has the names of the columns, the same in every language. A cell that could be read as a
        formula is prefixed with an apostrophe.
        """
        stream = StringIO(newline="")
        writer = csv.writer(stream)
        writer.writerow(self.columns)
        writer.writerows([guarded(cell) for cell in row] for row in self.rows)
        return stream.getvalue().encode("utf-8-sig")


def _text(cell: Cell) -> str:
    return cell if isinstance(cell, str) else stated(cell)


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
