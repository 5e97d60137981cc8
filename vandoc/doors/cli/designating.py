"""The command that gives designations to the items of a van file, `designate`."""

from dataclasses import asdict
from pathlib import Path

import click

from vandoc.doors.cli.changing import differing, read_van, save_beside
from vandoc.doors.cli.checking import FORMAT
from vandoc.doors.cli.common import VAN_FILE, stop
from vandoc.doors.cli.report import as_json, of_van
from vandoc.doors.cli.words import tell
from vandoc.ground.errors import VandocError


@click.command("designate", help=tell("help.designate"))
@click.argument("file", type=VAN_FILE, metavar="FILE")
@FORMAT
@click.option("--write", is_flag=True, help=tell("designating.write"))
@click.option("--dry-run", is_flag=True, help=tell("sizing.dry_run"))
@click.option("--letter", "letters", multiple=True, metavar="NAME=LETTER", help=tell("designating.letter"))
def designate_command(file: Path, form: str, write: bool, dry_run: bool, letters: tuple[str, ...]) -> None:
    """Propose a designation for each item that has none."""
    from vandoc.doors.recording import say, with_designations
    from vandoc.judgement.proposals.designations import designations_listed, proposed_designations

    try:
        van, draft = read_van(file)
        chosen = dict(_pair(text) for text in letters)
        with van.speaking():
            found = proposed_designations(van, chosen)
            listed = designations_listed(found)
        given = tuple(item for item in found if item.designation is not None)
        if form == "json":
            shown = [asdict(item) for item in found]
            click.echo(as_json([of_van(file, van.system.van.name, {"designations": shown})]))
        elif not dry_run:
            click.echo(listed)
        changed = with_designations(draft, given)
        if dry_run:
            click.echo(differing(file, draft, changed), nl=False)
        elif write and given:
            kept = save_beside(file, draft, changed)
            if form == "text":
                name = click.format_filename(file)
                click.echo(say("designations.written", count=len(given), file=name, copy=kept))
    except (VandocError, ValueError) as error:
        stop(str(error))


def _pair(text: str) -> tuple[str, str]:
    name, equals, letter = text.rpartition("=")
    if not (name and equals and letter):
        raise ValueError(tell("designating.not_pair", text=text))
    return name, letter
