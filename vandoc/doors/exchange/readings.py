"""Readings of a meter from its CSV file; which column holds what is stated, never guessed."""

import re
from collections.abc import Mapping
from dataclasses import dataclass
from difflib import get_close_matches

from vandoc.doors.exchange.table import Style, read_lines
from vandoc.doors.exchange.words import say
from vandoc.ground.errors import Location, Problem, SystemFileError

FIELDS = ("measure", "value", "unit", "current", "note")
NEEDED = ("measure", "value")
_NUMBER = re.compile(r"[+-]?\d+(?:\.\d+)?(?:[eE][+-]?\d+)?")
_GROUPED = re.compile(r"\d,\d")
_COMMA = re.compile(r"(?<=\d),(?=\d)")
_OF_HEADING = re.compile(r".*\[(.+)\]\s*")


@dataclass(frozen=True)
class MeterReading:
    """A row of a meter's table.

    Attributes
    ----------
    measure, value : str
        Name of the measurement; number with its unit.
    current, note : str
        Empty if the table has none.
    place : Location
        Of the row.
    columns : mapping
        Number of the column of each field, from 1.
    """

    measure: str
    value: str
    current: str
    note: str
    place: Location
    columns: Mapping[str, int]

    def at(self, field: str) -> Location:
        """Return the place of a cell."""
        return Location(self.place.file, self.place.line, self.columns.get(field, 1))


def read_readings(
    content: bytes, name: str, style: Style, headings: Mapping[str, str]
) -> tuple[MeterReading, ...]:
    """Read a meter's table.

    Parameters
    ----------
    content : bytes
        CSV in UTF-8; its first row has the headings.
    name : str
        Of the file, for errors.
    style : Style
    headings : mapping
        Heading in the table of each field; a field that is not stated has its own name as heading.

    Raises
    ------
    SystemFileError
        With every error; line and column are the row and column of the table.
    """
    lines = read_lines(content, name, style.separator)
    problems: list[Problem] = []
    columns = _columns(lines[0] if lines else [], name, headings, problems)
    found: dict[str, MeterReading] = {}
    for number, cells in enumerate(lines[1:], 2):
        if problems and not columns:
            break
        if not any(cell.strip() for cell in cells):
            continue
        row = _row(cells, lines[0], columns, Location(name, number, 1), style, problems)
        if row.measure in found:
            earlier = found[row.measure].place.line
            problems.append(Problem(row.at("measure"), say("twice", name=row.measure, line=earlier)))
        found.setdefault(row.measure, row)
    if problems:
        raise SystemFileError(problems)
    return tuple(found.values())


def _columns(
    line: list[str], name: str, headings: Mapping[str, str], problems: list[Problem]
) -> dict[str, int]:
    """Return the number of the column of each field, from 0."""
    there = [cell.strip() for cell in line]
    found: dict[str, int] = {}
    for field in FIELDS:
        wanted = headings.get(field, field)
        if there.count(wanted) > 1:
            problems.append(Problem(Location(name, 1, 1), say("heading_twice", heading=wanted)))
        elif wanted in there:
            found[field] = there.index(wanted)
        elif field in headings or field in NEEDED:
            close = get_close_matches(wanted, there, 1)
            hint = say("readings.hint", close=close[0]) if close else ""
            problems.append(
                Problem(Location(name, 1, 1), say("readings.no_column", field=field, heading=wanted) + hint)
            )
    return {} if problems else found


def _row(
    cells: list[str],
    line: list[str],
    columns: Mapping[str, int],
    place: Location,
    style: Style,
    problems: list[Problem],
) -> MeterReading:
    texts = {field: cells[number].strip() if number < len(cells) else "" for field, number in columns.items()}
    row = MeterReading(
        texts["measure"],
        "",
        "",
        texts.get("note", ""),
        place,
        {field: number + 1 for field, number in columns.items()},
    )
    for field in NEEDED:
        if not texts[field]:
            problems.append(Problem(row.at(field), say("readings.empty", field=field)))
    made = {}
    for field in ("value", "current"):
        text = texts.get(field, "")
        if text:
            unit = texts.get("unit", "") if field == "value" else ""
            if not unit and (of_heading := _OF_HEADING.fullmatch(line[columns[field]])):
                unit = of_heading[1]
            made[field] = _amount(text, unit, row.at(field), style, problems)
    return MeterReading(
        row.measure, made.get("value", ""), made.get("current", ""), row.note, place, row.columns
    )


def _amount(text: str, unit: str, place: Location, style: Style, problems: list[Problem]) -> str:
    """Return a number with its unit; a comma counts as decimal point only where that is stated."""
    if _GROUPED.search(text):
        if not style.decimal_comma:
            problems.append(Problem(place, say("readings.comma", text=text)))
            return text
        text = _COMMA.sub(".", text)
    if not _NUMBER.fullmatch(text):
        return text
    if not unit:
        problems.append(Problem(place, say("readings.no_unit", text=text)))
        return text
    return f"{float(text):.12g} {unit}"
