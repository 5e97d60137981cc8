"""The commands for a new van file: `new`, `schema` and `survey`."""

import json
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import click

from vandoc.doors.cli.common import VAN_FILE, stop
from vandoc.doors.cli.words import tell
from vandoc.ground.errors import Problem, SystemFileError, VandocError

SCHEMA = "van.schema.json"


@click.command(help=tell("help.new"))
@click.argument("folder", type=VAN_FILE, metavar="DIR")
@click.option("--no-input", is_flag=True, help=tell("starting.use_defaults_without"))
def new(folder: Path, no_input: bool) -> None:
    """Create a starter van file in DIR."""
    import secrets

    from vandoc.doors.output import create_files, refuse_folder
    from vandoc.reading.starter import QUESTIONS, Answers, render

    try:
        above = _workshop_above(folder)
        started = render(Answers(), "token")
        refuse_folder(folder, {"van.yml": None, SCHEMA: started[SCHEMA].encode()})
    except VandocError as error:
        stop(str(error))
    answers: dict[str, Any] = {} if above is None else {"workshop": above}
    if not no_input and sys.stdin.isatty():
        for question in QUESTIONS:
            if above is not None and question.key in ("workshop", "phone"):
                continue
            answers[question.key] = click.prompt(
                question.text,
                default=question.default,
                show_default=bool(question.default),
                value_proc=_reader(question.read),
            )
    written = render(Answers(**answers), secrets.token_hex(8), contact_above=above is not None)
    # The schema first: if this fails, no van file exists that would block a second attempt.
    contents = {name: written[name].encode() for name in (SCHEMA, "van.yml")}
    try:
        for path in create_files(folder, contents)[::-1]:
            click.echo(path)
    except VandocError as error:
        stop(str(error))


def _workshop_above(folder: Path) -> str | None:
    """Return the name in a workshop file above a new van; None if there is no file or no name.

    Raises
    ------
    SystemFileError
        If there is one that cannot be used.
    """
    from vandoc.reading.workshop import find, read_workshop

    found = find(folder / "van.yml")
    if found is None:
        return None
    problems: list[Problem] = []
    tree = read_workshop(found, str(found), problems).tree
    if problems:
        raise SystemFileError(problems)
    name: str | None = tree.plain().get("name")
    return name


def _reader(read: Callable[[str], Any]) -> Callable[[str], Any]:
    """Convert an invalid answer to click's own error, so that the prompt is repeated."""

    def value_of(text: str) -> Any:
        try:
            return read(text)
        except ValueError as error:
            raise click.UsageError(str(error)) from error

    return value_of


@click.command(help=tell("help.schema"))
@click.option("--workshop", is_flag=True, help=tell("starting.print_workshop_file"))
def schema(workshop: bool) -> None:
    """Print the JSON Schema of a van file."""
    from vandoc.reading.schema import json_schema, workshop_schema

    found = workshop_schema() if workshop else json_schema()
    click.echo(json.dumps(found, ensure_ascii=False, indent=1))


@click.command("survey", help=tell("help.survey"))
@click.argument("out", type=VAN_FILE, metavar="OUT.pdf")
def survey_command(out: Path) -> None:
    """Write a survey sheet to fill in by hand at the van."""
    from vandoc.doors.output import create_files, refuse_file
    from vandoc.paper.survey import survey

    try:
        refuse_file(out)
        create_files(out.parent, {out.name: survey()})
        click.echo(out)
    except VandocError as error:
        stop(str(error))
