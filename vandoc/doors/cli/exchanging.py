"""The commands that exchange tables with spreadsheets: `export` and `import`."""

import re
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import click

from vandoc.doors.cli.changing import differing, save_beside
from vandoc.doors.cli.common import SEPARATOR, VAN_FILE, character_of, stop
from vandoc.doors.cli.words import tell
from vandoc.ground.errors import Problem, SystemFileError, VandocError

if TYPE_CHECKING:
    from vandoc.doors.exchange import Merged


@click.command("export", help=tell("help.export"))
@click.argument("file", type=VAN_FILE, metavar="FILE")
@click.option("--out", type=click.Path(path_type=Path, dir_okay=False), help=tell("exchanging.out"))
@SEPARATOR
def export_command(file: Path, out: Path | None, separator: str) -> None:
    """Write the loads, circuits and cables of a van file as a table."""
    from vandoc.doors.exchange import as_csv, exported
    from vandoc.doors.output import create_files
    from vandoc.reading import editing
    from vandoc.reading.loader import load

    try:
        draft = editing.read(file)
        load(file, text=draft.text)
        content = as_csv(exported(editing.plain(draft)), character_of(separator))
        if out is None:
            click.echo(content, nl=False)
        else:
            create_files(out.parent, {out.name: content})
    except VandocError as error:
        stop(str(error))


@click.command("import", help=tell("help.import"))
@click.argument("table", type=click.Path(path_type=Path), metavar="TABLE")
@click.argument("file", type=VAN_FILE, metavar="FILE")
@click.option("--dry-run", is_flag=True, help=tell("exchanging.dry_run"))
@click.option("--decimal-comma", is_flag=True, help=tell("exchanging.decimal_comma"))
@SEPARATOR
def import_command(table: Path, file: Path, dry_run: bool, decimal_comma: bool, separator: str) -> None:
    """Merge a table of loads, circuits and cables into a van file."""
    from vandoc.doors.exchange import Style, merged, read_rows, say
    from vandoc.reading import editing
    from vandoc.reading.loader import load
    from vandoc.reading.yamltree import read_raw

    try:
        name = click.format_filename(table)
        rows = read_rows(read_raw(table, name), name, Style(character_of(separator), decimal_comma))
        draft = editing.read(file)
        load(file, text=draft.text)
        found = merged(draft, rows)
        try:
            load(file, text=found.draft.text)
        except SystemFileError as error:
            raise SystemFileError(_of_table(error, found)) from None
        changed = found.draft is not draft
        if changed and not dry_run:
            kept = save_beside(file, draft, found.draft)
        click.echo("\n".join(_report(found)))
        if changed and dry_run:
            click.echo(differing(file, draft, found.draft), nl=False)
        elif changed:
            click.echo(say("report.written", file=click.format_filename(file), copy=kept))
    except VandocError as error:
        stop(str(error))


_OF_ROW = re.compile(r"(loads\.[^.:]+|circuits\[\d+\]\.cable\[\d+\]|\w+\[\d+\])\.?([^:]*)")


def _of_table(error: SystemFileError, found: "Merged") -> Iterator[Problem]:
    """Yield the errors of the merged file, at the cell that an error is about where a table has it."""
    from vandoc.doors.exchange.columns import KEYS

    for problem in error.problems:
        match = _OF_ROW.match(problem.message)
        row = found.rows.get(match[1]) if match else None
        if row is None or match is None:
            yield problem
            continue
        columns = [column for column, key in KEYS[row.what].items() if match[2].startswith(key)]
        yield Problem(row.at(max(columns, key=len, default="id")), problem.message)


def _report(found: "Merged") -> Iterator[str]:
    from vandoc.doors.exchange import say

    for what, name in found.added:
        yield say("report.added", what=what, name=name)
    for one in found.changes:
        how = "report.changed" if one.old else "report.stated"
        yield say(how, what=one.what, name=one.name, column=one.column, old=one.old, new=one.new)
    if not found.added and not found.changes:
        yield say("report.none")
    for one in found.kept:
        yield say("report.kept", what=one.what, name=one.name, column=one.column, old=one.old)
    for what, name in found.missing:
        yield say("report.missing", what=what, name=name)
