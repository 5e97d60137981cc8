"""The command that creates the printed files: `print`."""

import sys
from pathlib import Path

import click

from vandoc.doors.cli.common import VAN_FILE, not_made, stop
from vandoc.doors.cli.words import tell
from vandoc.ground.errors import VandocError

KINDS = ("labels", "owner", "electrician", "lists", "bench", "measuring")


@click.command("print", help=tell("help.print"))
@click.argument("files", nargs=-1, required=True, type=VAN_FILE, metavar="FILE...")
@click.option(
    "--out",
    required=True,
    type=VAN_FILE,
    metavar="DIR",
    help=tell("printing.output_folder_pdf"),
)
@click.option(
    "--only",
    "wanted",
    multiple=True,
    type=click.Choice(KINDS),
    help=tell("printing.make_only_document"),
)
@click.option(
    "--labels",
    "sheet",
    default="3x8",
    show_default=True,
    metavar="SHEET",
    help=tell("printing.label_sheet_tape_size"),
)
@click.option("--since", metavar="REVISION", help=tell("printing.since"))
@click.option("--first", type=click.IntRange(1), default=1, show_default=True, help=tell("printing.first"))
@click.option("--draft", is_flag=True, help=tell("printing.print_even_if_checks"))
def print_command(
    files: tuple[Path, ...],
    out: Path,
    wanted: tuple[str, ...],
    sheet: str,
    since: str | None,
    first: int,
    draft: bool,
) -> None:
    """Write the PDF files and lists of each van to DIR/<van>/."""
    from vandoc.doors.build import print_into
    from vandoc.doors.output import RefusedError, name_of
    from vandoc.paper.printing import LabelOptions

    status, options = 0, LabelOptions(sheet, since, first)
    names: dict[str, Path] = {}
    for file in files:
        try:
            name = name_of(file)
        except RefusedError as error:
            stop(str(error))
        if name in names:
            stop(tell("printing.same_name", file=file, names=names[name], name=name))
        names[name] = file
    for name, file in names.items():
        try:
            paths, notices = print_into(file, out / name, wanted or KINDS, options, draft=draft)
            for notice in notices:
                click.echo(f"{file}: {notice}", err=True)
            for path in paths:
                click.echo(path)
        except VandocError as error:
            failing = tell("printing.not_printed_because", error=error, file=file)
            status = max(status, not_made(error, failing))
    sys.exit(status)
