"""The commands that publish manuals and take them back: `build` and `withdraw`."""

import sys
from pathlib import Path

import click

from vandoc.doors.cli.common import VAN_FILE, not_made, stop
from vandoc.doors.cli.words import tell
from vandoc.ground.errors import VandocError
from vandoc.ground.memory import nothing_collected


@click.command(help=tell("help.build"))
@click.argument("files", nargs=-1, required=True, type=VAN_FILE, metavar="FILE...")
@click.option(
    "--out", required=True, type=VAN_FILE, metavar="DIR", help=tell("building.output_folder_manuals")
)
@click.option("--draft", is_flag=True, help=tell("building.build_even_if_checks"))
def build(files: tuple[Path, ...], out: Path, draft: bool) -> None:
    """Build the manual of each van in DIR/<van>/."""
    with nothing_collected():
        from vandoc.doors.output import RefusedError, name_of
        from vandoc.doors.publish import publish

    try:
        names = [name_of(file) for file in files]
    except RefusedError as error:
        stop(str(error))
    for number, name in enumerate(names):
        if name in names[:number]:
            first = files[names.index(name)]
            stop(tell("building.same_name", files=files[number], first=first, name=name))
    status = 0
    for number, file in enumerate(files, start=1):
        if len(files) > 1:
            click.echo(tell("building.number_of", number=number, files=len(files), file=file))
        try:
            click.echo(f"{publish(file, out, draft=draft)}/index.html")
        except VandocError as error:
            failing = tell("building.not_built_because", error=error, file=file)
            status = max(status, not_made(error, failing))
    sys.exit(status)


@click.command(help=tell("help.withdraw"))
@click.argument("file", type=VAN_FILE, metavar="FILE")
@click.option("--out", required=True, type=VAN_FILE, metavar="DIR", help=tell("building.folder_manuals"))
def withdraw(file: Path, out: Path) -> None:
    """Replace the manual in DIR/<van>/ by one page."""
    from vandoc.doors.publish import withdraw as withdraw_manual

    try:
        click.echo(f"{withdraw_manual(file, out)}/index.html")
    except VandocError as error:
        stop(str(error))
