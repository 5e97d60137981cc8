"""Published tables, one CSV file each, and their common reader.

A file begins with four comment lines, ``# source:``, ``# edition:``, ``# conditions:`` and ``# read:`` (``in
print``, ``from memory``, ``own choice`` or ``see rows``), then a header row, then the rows. A column
``memory`` (yes or no) states for each row whether it was recalled rather than read; a column ``source`` names
the source of each row.
"""

import csv
from dataclasses import dataclass, fields
from functools import cache
from importlib.resources import files
from math import isfinite
from typing import Any, TypeVar, get_type_hints

from vandoc.ground.messages import Messages

say = Messages("vandoc.ground.data", "data").say

HEADER_KEYS = ("source", "edition", "conditions", "read")
MEMORY_BY_READ = {"in print": False, "from memory": True, "own choice": False, "see rows": None}
Row = TypeVar("Row")
_tables: dict[tuple[str, object], tuple[Any, ...]] = {}


@dataclass(frozen=True)
class Constant:
    """One published figure."""

    name: str
    value: float
    unit: str
    source: str
    from_memory: bool


def parse(name: str, text: str, row_type: type[Row]) -> tuple[Row, ...]:
    """Parse a table into instances of a dataclass.

    Each field of ``row_type`` is a column of the same name; its annotation (``str``, ``int``, ``float``,
    ``bool``, or one of them ``| None`` for a cell that may be empty) says how the cell is read. The field
    ``from_memory`` is filled from the column ``memory``, the fields ``source`` and ``from_memory`` from the
    head if the table has no such column.

    Parameters
    ----------
    name : str
        Name of the table, used in errors.
    text : str
        The whole file.
    row_type : type
        A dataclass.

    Returns
    -------
    tuple of row_type
        The rows in the order of the file.

    Raises
    ------
    ValueError
        If the head is incomplete, a column is missing, unknown or doubled, a cell cannot be read, or a number
        is not finite. The message begins with file and line.
    """
    lines = text.splitlines()
    head = dict(
        _head_line(name, number, line) for number, line in enumerate(lines[: len(HEADER_KEYS)], start=1)
    )
    if tuple(head) != HEADER_KEYS or head["read"] not in MEMORY_BY_READ:
        expected = say("read", keys=", ".join(HEADER_KEYS), marks=", ".join(MEMORY_BY_READ))
        raise ValueError(say("csv_1_head_must_give", name=name, expected=expected))
    reader = csv.reader(lines[len(HEADER_KEYS) :], strict=True)
    columns = ["from_memory" if column == "memory" else column for column in next(reader, [])]
    hints = get_type_hints(row_type)
    wanted = {field.name for field in fields(row_type)}  # type: ignore[arg-type]
    filled = {"source": head["source"], "from_memory": MEMORY_BY_READ[head["read"]]}
    defaults = {key: value for key, value in filled.items() if key in wanted and key not in columns}
    if len(set(columns)) != len(columns) or set(columns) != wanted - set(defaults):
        raise ValueError(
            say(
                "csv_columns_are",
                name=name,
                keys=len(HEADER_KEYS) + 1,
                columns=columns,
                wanted=sorted(wanted),
            )
        )
    if None in defaults.values():
        raise ValueError(say("csv_4_head_says_see", name=name))
    rows = []
    for cells in reader:
        where = f"{name}.csv:{len(HEADER_KEYS) + reader.line_num}"
        if len(cells) != len(columns):
            raise ValueError(say("cells_expected", where=where, cells=len(cells), columns=len(columns)))
        pairs = zip(columns, cells, strict=True)
        values = {column: _cell(where, column, cell, hints[column]) for column, cell in pairs}
        rows.append(row_type(**defaults, **values))
    return tuple(rows)


def rows(name: str, row_type: type[Row]) -> tuple[Row, ...]:
    """Return the rows of the table ``name`` in this folder, cached; see :func:`parse`."""
    key = (name, row_type)
    if key not in _tables:
        _tables[key] = parse(name, files(__name__).joinpath(f"{name}.csv").read_text("utf-8"), row_type)
    return _tables[key]


@cache
def _constants() -> dict[str, Constant]:
    return {constant.name: constant for constant in rows("constants", Constant)}


def constant(name: str) -> Constant:
    """Return the figure ``name`` of ``constants.csv``; raise ``KeyError`` for an unknown name."""
    return _constants()[name]


def _head_line(name: str, number: int, line: str) -> tuple[str, str]:
    key, colon, value = line.removeprefix("# ").partition(": ")
    if not line.startswith("# ") or not colon or not value.strip():
        raise ValueError(say("csv_expected_head_line", name=name, number=number))
    return key, value.strip()


def _cell(where: str, column: str, cell: str, hint: Any) -> object:
    if hint in (float | None, str | None, int | None):
        if not cell:
            return None
        hint = next(kind for kind in hint.__args__ if kind is not type(None))
    try:
        if hint is str and cell:
            return cell
        if hint is bool:
            return {"yes": True, "no": False}[cell]
        if hint is int:
            return int(cell)
        if hint is float and isfinite(number := float(cell)):
            return number
    except (ValueError, KeyError):
        pass
    raise ValueError(say("column_not", where=where, column=column, cell=cell, name=hint.__name__))
