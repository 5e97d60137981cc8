"""The commands that archive a van file, or repair its archive: `revise` and `repair`."""

from datetime import date
from pathlib import Path

import click

from vandoc.doors.cli.changing import read_van
from vandoc.doors.cli.common import VAN_FILE, stop
from vandoc.doors.cli.prompting import prompting
from vandoc.doors.cli.recording import archive, day_of
from vandoc.doors.cli.sizing import all_stated
from vandoc.doors.cli.words import tell
from vandoc.ground.errors import VandocError


@click.command(help=tell("help.revise"))
@click.argument("file", type=VAN_FILE, metavar="FILE")
@click.option("--why", help=tell("archiving.reason_revision"))
@click.option("--date", "day", help=tell("archiving.date_revision_default"))
def revise(file: Path, why: str | None, day: str | None) -> None:
    """Archive FILE as its next revision."""
    from vandoc.doors.recording import say
    from vandoc.reading.archive import one_line

    try:
        given = None if why is None else one_line(why)
        all_stated(file)
        van, _ = read_van(file)
        when = day_of(day or date.today().isoformat(), van)
        if given is not None:
            archive(file, given, when)
            return
        with prompting(file, "revise", {}) as dialogue:
            reason = dialogue.ask("why", say("service.why"), one_line)
            archive(file, reason, when, resumed=dialogue.journal.resumed)
    except (VandocError, ValueError) as error:
        stop(str(error))


@click.command(help=tell("help.repair"))
@click.argument("file", type=VAN_FILE, metavar="FILE")
def repair(file: Path) -> None:
    """Repair the archive of FILE."""
    from vandoc.doors.recording import say
    from vandoc.judgement.history import calculated
    from vandoc.reading.archive import repair as repair_archive

    try:
        done = repair_archive(file, date.today(), calculated)
    except VandocError as error:
        stop(str(error))
    if done is None:
        click.echo(say("repair.none", file=file))
        return
    for path in done.moved:
        click.echo(say("repair.moved", path=click.format_filename(path)))
    if done.lost:
        click.echo(say("repair.lost", numbers=", ".join(map(str, done.lost))))
    if done.revision is not None:
        click.echo(say("revision", mark=done.revision.mark, folder=done.revision.path.parent))
