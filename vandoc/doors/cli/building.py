"""The commands that publish manuals and take them back: `build` and `withdraw`."""

import sys
from pathlib import Path

import click

from vandoc.doors.cli.common import EXIT_UNUSABLE, VAN_FILE, stop
from vandoc.ground.errors import ChecksFailedError, VandocError


@click.command()
@click.argument("files", nargs=-1, required=True, type=VAN_FILE, metavar="FILE...")
@click.option("--out", required=True, type=VAN_FILE, metavar="DIR", help="Output folder for the manuals.")
@click.option("--draft", is_flag=True, help="Build even if checks fail; every page is marked as a draft.")
def build(files: tuple[Path, ...], out: Path, draft: bool) -> None:
    """Build the manual of each van in DIR/<van>/.

    A van that fails a check is not built, and its published manual is left unchanged. Exit status: 0 if
    every manual is built, 1 if a check fails, 2 if a file cannot be used.
    """
    from vandoc.doors.output import RefusedError, name_of
    from vandoc.doors.publish import publish

    try:
        names = [name_of(file) for file in files]
    except RefusedError as error:
        stop(str(error))
    for number, name in enumerate(names):
        if name in names[:number]:
            first = files[names.index(name)]
            stop(f"{files[number]}: has the same name as {first}, {name!r}; rename one of the two")
    status = 0
    for number, file in enumerate(files, start=1):
        if len(files) > 1:
            click.echo(f"{number} of {len(files)}: {file}")
        try:
            click.echo(f"{publish(file, out, draft=draft)}/index.html")
        except ChecksFailedError as error:
            click.echo(
                f"{error}\n{file}: not built because checks failed; use --draft to build it anyway",
                err=True,
            )
            status = max(status, 1)
        except VandocError as error:
            click.echo(str(error), err=True)
            status = EXIT_UNUSABLE
    sys.exit(status)


@click.command()
@click.argument("file", type=VAN_FILE, metavar="FILE")
@click.option("--out", required=True, type=VAN_FILE, metavar="DIR", help="Folder of the manuals.")
def withdraw(file: Path, out: Path) -> None:
    """Replace the manual in DIR/<van>/ by one page.

    The page says that the manual is withdrawn and whom to call. Copy it to the host as you would a manual.
    Phones drop their saved copy the next time they open the manual with a connection. `build` publishes it
    again.
    """
    from vandoc.doors.publish import withdraw as withdraw_manual

    try:
        click.echo(f"{withdraw_manual(file, out)}/index.html")
    except VandocError as error:
        stop(str(error))
