"""Readings of a meter entered into a van file from a table, for the command `record`."""

from collections.abc import Iterator
from datetime import date
from difflib import get_close_matches
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

import click

from vandoc.doors.cli.changing import save
from vandoc.ground.errors import Problem, SystemFileError

if TYPE_CHECKING:
    from vandoc.analysis import Van
    from vandoc.doors.exchange import MeterReading, Style
    from vandoc.reading.editing import Draft


def headings_of(columns: tuple[str, ...]) -> dict[str, str]:
    """Return the heading of each field from options such as ``value=Reading``.

    Raises
    ------
    ValueError
        With a message, if an option is not of that form.
    """
    from vandoc.doors.exchange import FIELDS, say

    found = {}
    for text in columns:
        field, equals, heading = text.partition("=")
        if field not in FIELDS or not equals or not heading.strip():
            raise ValueError(say("readings.field", text=text, known=", ".join(FIELDS)))
        found[field] = heading.strip()
    return found


def record_table(
    file: Path,
    van: "Van",
    draft: "Draft",
    table: Path,
    style: "Style",
    headings: dict[str, str],
    day: date,
    by: str,
) -> None:
    """Enter the readings of a table into a van file, all of them or none.

    Raises
    ------
    SystemFileError
        With every error of the table by row and column, or if the file would be unusable.
    VandocError
        If a file cannot be read or written.
    """
    from vandoc.doors.exchange import read_readings, say
    from vandoc.doors.recording import MeasurementPrompt, add_reading, has_reading
    from vandoc.ground.units import number_in
    from vandoc.reading.yamltree import read_raw

    name = click.format_filename(table)
    rows = read_readings(read_raw(table, name), name, style, headings)
    if problems := list(_problems(van, rows)):
        raise SystemFileError(problems)
    changed, count = draft, 0
    for row in rows:
        if has_reading(changed, "commissioning", day, by, row.measure, row.value):
            click.echo(say("readings.kept", measure=row.measure, value=row.value))
            continue
        prompt = MeasurementPrompt(van.measurements[row.measure])
        amps = number_in("current", row.current) if row.current else None
        verdict = prompt.verdict(prompt.number(row.value), amps, day)
        click.echo(say("readings.added", measure=row.measure, value=row.value, verdict=verdict))
        row_text = (row.measure, row.value, row.current or None, row.note or None)
        changed, count = add_reading(changed, "commissioning", day, by, *row_text), count + 1
    save(file, draft, changed)
    click.echo(say("readings.written", file=click.format_filename(file), count=count))


def _problems(van: "Van", rows: tuple["MeterReading", ...]) -> Iterator[Problem]:
    from vandoc.doors.exchange import say
    from vandoc.doors.recording import MeasurementPrompt, field
    from vandoc.model.van import Reading

    for row in rows:
        measurement = van.measurements.get(row.measure)
        if measurement is None:
            close = get_close_matches(row.measure, van.measurements, 1)
            hint = say("readings.hint", close=close[0]) if close else ""
            yield Problem(row.at("measure"), say("readings.not_on_sheet", measure=row.measure, hint=hint))
            continue
        for name, text, check in (
            ("value", row.value, MeasurementPrompt(measurement).value),
            ("current", row.current, partial(field, Reading, "current_a")),
            ("note", row.note, partial(field, Reading, "note")),
        ):
            try:
                if text:
                    check(text)
            except ValueError as error:
                yield Problem(row.at(name), f"{name}: {error}")
