"""The command that proposes the sizes left open in a van file, `size`, and writes them into it."""

import sys
from dataclasses import asdict
from pathlib import Path
from typing import TYPE_CHECKING

import click

from vandoc.doors.cli.changing import differing, read_van, save_beside
from vandoc.doors.cli.checking import FORMAT, as_text, counts
from vandoc.doors.cli.common import VAN_FILE, stop
from vandoc.doors.cli.report import as_json, of_errors, of_van
from vandoc.doors.cli.words import tell
from vandoc.ground.errors import SystemFileError, VandocError
from vandoc.ground.memory import nothing_collected

if TYPE_CHECKING:
    from vandoc.judgement.proposals import Proposal
    from vandoc.reading.editing import Draft


@click.command("size", help=tell("help.size"))
@click.argument("file", type=VAN_FILE, metavar="FILE")
@FORMAT
@click.option("--write", is_flag=True, help=tell("sizing.write"))
@click.option("--dry-run", is_flag=True, help=tell("sizing.dry_run"))
@click.option("--only", "names", multiple=True, metavar="NAME", help=tell("sizing.only"))
def size_command(file: Path, form: str, write: bool, dry_run: bool, names: tuple[str, ...]) -> None:
    """Propose the sizes that a van file leaves open."""
    with nothing_collected():
        from vandoc.doors.recording import open_sizes, say
        from vandoc.judgement.proposals import listed, proposals
        from vandoc.judgement.remedy import fails, findings

    try:
        with nothing_collected():
            van, draft = read_van(file)
            found, failing = proposals(van), fails(van)
        wanted = open_sizes(found.items, names)
    except SystemFileError as error:
        if form == "json":
            click.echo(as_json([of_errors(file, error)]))
        stop(str(error))
    except (VandocError, ValueError) as error:
        stop(str(error))
    if form == "json":
        failed = [asdict(finding) for finding in failing]
        click.echo(as_json([of_van(file, van.system.van.name, {**asdict(found), "findings": failed})]))
    elif not dry_run:
        with van.speaking():
            click.echo(listed(found))
            for finding in failing:
                click.echo(as_text(finding))
            click.echo(f"{file}: {counts(findings(van))}")
    if write or dry_run or names:
        try:
            fill_in(file, draft, wanted, dry_run=dry_run, quiet=form == "json")
        except VandocError as error:
            stop(str(error))
        for item in found.items:
            if not item.fits and form == "text":
                click.echo(say("sizes.unfit", name=item.subject))
    sys.exit(1 if failing else 0)


def fill_in(
    file: Path, draft: "Draft", items: "tuple[Proposal, ...]", *, dry_run: bool = False, quiet: bool = False
) -> None:
    """Write proposals into a van file, or show the difference; the file as it was is kept beside it.

    Raises
    ------
    VandocError
        If the file was changed meanwhile, or it or its copy cannot be written.
    """
    from vandoc.doors.recording import say, to_write, with_sizes

    items = to_write(items)
    changed = with_sizes(draft, items)
    if dry_run:
        click.echo(differing(file, draft, changed), nl=False)
    elif items:
        kept = save_beside(file, draft, changed)
        if not quiet:
            name = click.format_filename(file)
            click.echo(say("sizes.written", count=len(items), file=name, copy=kept))


def all_stated(file: Path) -> None:
    """See to it that a van file that is about to be archived states every size: offer to fill them in.

    Raises
    ------
    VandocError
        If a size stays open.
    """
    from vandoc.doors.recording import open_sizes, say
    from vandoc.judgement.proposals import proposals

    van, draft = read_van(file)
    items = proposals(van).items
    if not items:
        return
    count, name = len(items), click.format_filename(file)
    unfit = [item.subject for item in items if not item.fits]
    if unfit:
        raise VandocError(say("sizes.none_fits", names=", ".join(unfit), count=count, file=name))
    try:
        filled = click.confirm(say("sizes.offer", count=count, file=name))
    except click.Abort:  # nobody is there to answer
        filled = False
        click.echo()
    if not filled:
        raise VandocError(say("sizes.open", count=count, file=name))
    fill_in(file, draft, open_sizes(items))
