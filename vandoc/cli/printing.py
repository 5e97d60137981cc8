"""The command that makes what is printed: `print`."""

import sys
from pathlib import Path

import click

from vandoc.cli.common import UNUSABLE, VAN_FILE, stop, write_whole
from vandoc.errors import SystemFileError, VandocError

KINDS = ("labels", "owner", "electrician", "lists")


@click.command("print")
@click.argument("files", nargs=-1, required=True, type=VAN_FILE, metavar="FILE...")
@click.option("--out", required=True, type=VAN_FILE, metavar="DIR", help="Folder for what is printed.")
@click.option(
    "--only",
    "wanted",
    multiple=True,
    type=click.Choice(KINDS),
    help="Make this alone; may be given more than once.",
)
@click.option(
    "--labels", "sheet", default="3x8", show_default=True, metavar="SHEET", help="Label sheet or tape."
)
@click.option("--draft", is_flag=True, help="Print a van that fails too; each page says so.")
def print_command(
    files: tuple[Path, ...], out: Path, wanted: tuple[str, ...], sheet: str, draft: bool
) -> None:
    """Make the PDF files of each van, and its lists, in DIR/<van>/.

    Labels are at true size: print them at 100 %. Ends with 1 when a van fails a rule and is not printed, 2
    when a file cannot be used.
    """
    from vandoc.build import judge, print_paper

    status = 0
    names: dict[str, Path] = {}
    for file in files:
        name = file.resolve().parent.name if file.stem == "van" else file.stem
        if name in names:
            stop(f"{file}: its folder would have the name of that of {names[name]}: {name}")
        names[name] = file
    for name, file in names.items():
        try:
            judged = judge(file)
            if judged.fails and not draft:
                for finding in judged.fails:
                    click.echo(str(finding), err=True)
                click.echo(
                    f"{file}: not printed, for it fails its checks; --draft prints it all the same", err=True
                )
                status = max(status, 1)
                continue
            made = print_paper(judged, wanted or KINDS, sheet)
            for notice in made.notices:
                click.echo(f"{file}: {notice}", err=True)
            for path, content in made.files.items():
                click.echo(write_whole(out / name / path, content))
        except (SystemFileError, VandocError) as error:
            click.echo(str(error), err=True)
            status = UNUSABLE
    sys.exit(status)
