"""The command that creates the printed files: `print`."""

import sys
from pathlib import Path

import click

from vandoc.doors.cli.common import EXIT_UNUSABLE, VAN_FILE, stop
from vandoc.ground.errors import ChecksFailedError, VandocError

KINDS = ("labels", "owner", "electrician", "lists")


@click.command("print")
@click.argument("files", nargs=-1, required=True, type=VAN_FILE, metavar="FILE...")
@click.option(
    "--out", required=True, type=VAN_FILE, metavar="DIR", help="Output folder for the PDF files and lists."
)
@click.option(
    "--only",
    "wanted",
    multiple=True,
    type=click.Choice(KINDS),
    help="Make only this document (repeatable).",
)
@click.option(
    "--labels", "sheet", default="3x8", show_default=True, metavar="SHEET", help="Label sheet or tape size."
)
@click.option("--draft", is_flag=True, help="Print even if checks fail; every page is marked as a draft.")
def print_command(
    files: tuple[Path, ...], out: Path, wanted: tuple[str, ...], sheet: str, draft: bool
) -> None:
    """Write the PDF files and lists of each van to DIR/<van>/.

    Labels are full size: print them at 100 %. Exit status: 0 if everything is printed, 1 if a
    check fails, 2 if a file cannot be used.
    """
    from vandoc.doors.build import print_into
    from vandoc.doors.output import RefusedError, name_of

    status = 0
    names: dict[str, Path] = {}
    for file in files:
        try:
            name = name_of(file)
        except RefusedError as error:
            stop(str(error))
        if name in names:
            stop(f"{file}: has the same name as {names[name]}, {name!r}; rename one of the two")
        names[name] = file
    for name, file in names.items():
        try:
            paths, notices = print_into(file, out / name, wanted or KINDS, sheet, draft=draft)
            for notice in notices:
                click.echo(f"{file}: {notice}", err=True)
            for path in paths:
                click.echo(path)
        except ChecksFailedError as error:
            click.echo(
                f"{error}\n{file}: not printed because checks failed; use --draft to print it anyway",
                err=True,
            )
            status = max(status, 1)
        except VandocError as error:
            click.echo(str(error), err=True)
            status = EXIT_UNUSABLE
    sys.exit(status)
