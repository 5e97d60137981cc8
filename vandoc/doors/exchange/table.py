"""Tables as CSV: rows of a van file, and rows of a file from a spreadsheet with their errors."""

import csv
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from io import StringIO
from typing import Any

from vandoc.doors.exchange.columns import COLUMNS, IDENT, KEYS, LISTED, NAMES, SEVERAL, WHAT, kind_of
from vandoc.doors.exchange.words import say
from vandoc.ground.errors import Location, Problem, SystemFileError
from vandoc.pages.manual.lists.table import guarded
from vandoc.reading.explain import as_stated

MOST_BYTES = 4_000_000
_HEADING = re.compile(r"([a-z_]+)\s*(?:\[(.+)\])?")
_BARE = re.compile(r"[+-]?\d+(?:\.\d+)?")
_SEGMENT = re.compile(r"\S+ [1-9]\d?")
_COMMA = re.compile(r"(?<=\d),(?=\d)")


@dataclass(frozen=True)
class Style:
    """How a table is written.

    Attributes
    ----------
    separator : str
        One character between cells.
    decimal_comma : bool
        Whether a comma in a number is the decimal point.
    """

    separator: str = ","
    decimal_comma: bool = False


@dataclass(frozen=True)
class Row:
    """A row of a table: an item of the van file and what the table states of it.

    Attributes
    ----------
    what : str
        `load`, `circuit` or `cable`.
    name : str
        Identifier; of a cable without one its two ends.
    cells : mapping
        Text by column; empty cells are left out.
    place : Location or None
        Of the row in the table.
    columns : mapping
        Number of each column in the table, from 1.
    """

    what: str
    name: str
    cells: Mapping[str, str]
    place: Location | None = None
    columns: Mapping[str, int] | None = None

    def at(self, column: str) -> Location:
        """Return the place of a cell."""
        found = self.place or Location("", 0, 0)
        return Location(found.file, found.line, (self.columns or {}).get(column, 1))


def exported(plain: Mapping[str, Any]) -> Iterator[Row]:
    """Yield the loads, circuits and cables of a van file, as they are written there.

    Parameters
    ----------
    plain : mapping
        Content of the file; part sheets are not looked at.
    """
    loads = plain.get("loads") or {}
    for what, items in (
        ("load", loads.items()),
        ("circuit", ((entry["id"], entry) for entry in plain.get("circuits") or ())),
        ("segment", segments(plain)),
        ("cable", ((cable_name(entry), entry) for entry in plain.get("cables") or ())),
    ):
        for name, entry in items:
            found = {column: text for column in KEYS[what] if (text := _cell(entry, KEYS[what][column]))}
            yield Row(what, str(name), found)


def segments(plain: Mapping[str, Any]) -> Iterator[tuple[str, Mapping[str, Any]]]:
    """Yield the segments of all circuits, each with the name of its circuit and its number from 1."""
    for circuit in plain.get("circuits") or ():
        if isinstance(circuit.get("cable"), list):
            for number, entry in enumerate(circuit["cable"], 1):
                yield f"{circuit['id']} {number}", entry


def cable_name(entry: Mapping[str, Any]) -> str:
    """Return the identifier of a cable, or its two ends."""
    return str(entry.get("id") or f"{entry.get('from')} to {entry.get('to')}")


def as_csv(rows: Iterator[Row], separator: str = ",") -> bytes:
    """Return rows as CSV (RFC 4180) in UTF-8 with a byte order mark; no cell begins a formula."""
    stream = StringIO(newline="")
    writer = csv.writer(stream, delimiter=separator)
    writer.writerow(COLUMNS)
    for row in rows:
        ident = "" if " to " in row.name else row.name
        cells = {WHAT: row.what, IDENT: ident, **row.cells}
        writer.writerow([guarded(cells.get(column, "")) for column in COLUMNS])
    return stream.getvalue().encode("utf-8-sig")


def read_lines(content: bytes, name: str, separator: str) -> list[list[str]]:
    """Return the cells of a table, row by row.

    Raises
    ------
    SystemFileError
        If it is too large, not UTF-8 or not CSV.
    """
    if len(content) > MOST_BYTES:
        raise SystemFileError([Problem(Location(name, 1, 1), say("large", most=MOST_BYTES // 1_000_000))])
    try:
        return list(csv.reader(StringIO(content.decode("utf-8-sig"), newline=""), delimiter=separator))
    except UnicodeDecodeError as error:
        line = content[: error.start].count(b"\n") + 1
        raise SystemFileError([Problem(Location(name, line, 1), say("not_utf8"))]) from None
    except csv.Error as error:
        raise SystemFileError([Problem(Location(name, 1, 1), say("not_csv", error=error))]) from None


def read_rows(content: bytes, name: str, style: Style) -> list[Row]:
    """Read the rows of a table.

    Parameters
    ----------
    content : bytes
        CSV in UTF-8. A heading may name a unit, such as ``length [m]``, for cells that are bare numbers.
    name : str
        Of the file, for errors.
    style : Style

    Raises
    ------
    SystemFileError
        With every error; line and column are the row and column of the table.
    """
    lines = read_lines(content, name, style.separator)
    problems: list[Problem] = []
    headings = _headings(lines[0] if lines else [], name, problems)
    rows: dict[tuple[str, str], Row] = {}
    for number, cells in enumerate(lines[1:], 2):
        if any(cell.strip() for cell in cells) and headings:
            row = _row(cells, headings, Location(name, number, 1), style, problems)
            if row is not None and (row.what, row.name) in rows:
                earlier = rows[row.what, row.name].at(IDENT).line
                problems.append(Problem(row.at(IDENT), say("twice", name=row.name, line=earlier)))
            elif row is not None:
                rows[row.what, row.name] = row
    if problems:
        raise SystemFileError(problems)
    return list(rows.values())


def _headings(line: list[str], name: str, problems: list[Problem]) -> dict[str, tuple[int, str]]:
    """Return the number of each column, from 0, and the unit in its heading."""
    found: dict[str, tuple[int, str]] = {}
    for number, cell in enumerate(line):
        match = _HEADING.fullmatch(cell.strip())
        if not cell.strip():
            continue
        place = Location(name, 1, number + 1)
        if match is None or match[1] not in COLUMNS:
            problems.append(Problem(place, say("heading", heading=cell, known=", ".join(COLUMNS))))
        elif match[1] in found:
            problems.append(Problem(place, say("heading_twice", heading=match[1])))
        else:
            found[match[1]] = number, match[2] or ""
    if WHAT not in found:
        problems.append(Problem(Location(name, 1, 1), say("no_heading", heading=WHAT)))
        return {}
    return found


def _row(
    line: list[str],
    headings: Mapping[str, tuple[int, str]],
    place: Location,
    style: Style,
    problems: list[Problem],
) -> Row | None:
    columns = {column: number + 1 for column, (number, _) in headings.items()}
    texts = {
        column: _plain(line[number].strip(), column, unit, style)
        for column, (number, unit) in headings.items()
        if number < len(line) and line[number].strip()
    }
    what, ident = texts.pop(WHAT, ""), texts.pop(IDENT, "")
    row = Row(what, ident, texts, place, columns)
    if what not in KEYS:
        problems.append(Problem(row.at(WHAT), say("what", what=what, known=", ".join(KEYS))))
        return None
    if what == "cable" and not ident and {"from", "to"} <= set(texts):
        row = Row(what, cable_name(texts), texts, place, columns)
    elif not ident:
        problems.append(Problem(row.at(IDENT), say("no_id", what=what)))
        return None
    elif what == "segment" and not _SEGMENT.fullmatch(ident):
        problems.append(Problem(row.at(IDENT), say("segment_id", name=ident)))
        return None
    for column, text in texts.items():
        if column not in KEYS[what]:
            problems.append(Problem(row.at(column), say("not_here", column=column, what=what)))
            continue
        for part in text.split(SEVERAL) if column == LISTED else (text,):
            try:
                as_stated(kind_of(what, column), part.strip())
            except ValueError as error:
                problems.append(Problem(row.at(column), f"{column}: {error}"))
    return row


def _plain(text: str, column: str, unit: str, style: Style) -> str:
    if text.startswith("'") and guarded(text[1:]) == text:
        text = text[1:]  # the mark that keeps a spreadsheet from taking it for a formula
    if column in NAMES:
        return text
    if style.decimal_comma:
        text = _COMMA.sub(".", text)
    return f"{text} {unit}" if unit and _BARE.fullmatch(text) else text


def _cell(entry: Any, key: str) -> str:
    for step in key.split("."):
        if isinstance(entry, str):  # the short form of a return
            return ""
        entry = entry.get(step) if isinstance(entry, dict) else None
    if isinstance(entry, dict):
        return str(entry.get("to", ""))
    if isinstance(entry, list):
        return f"{SEVERAL} ".join(map(str, entry))
    return "" if entry is None else str(entry).lower() if isinstance(entry, bool) else str(entry)
