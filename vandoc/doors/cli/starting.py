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
from vandoc.ground.measures import METRIC, Measures, measuring_in

SCHEMA = "van.schema.json"


ANSWERS = (
    "name",
    "base",
    "nominal",
    "length",
    "width",
    "driver",
    "chemistry",
    "capacity",
    "batteries",
    "regulation",
    "solar",
    "mains-charger",
    "inverter",
    "workshop",
    "phone",
    "site",
)
"""The options of `new` that answer a question, in the order of the questions."""
BACK = "<"  # typed instead of an answer


def _with_answers(command: click.Command) -> click.Command:
    for name in ANSWERS:
        command.params.append(click.Option([f"--{name}"], metavar="TEXT", help=tell(f"answer.{name}")))
    return command


@_with_answers
@click.command(help=tell("help.new"))
@click.argument("folder", type=VAN_FILE, metavar="DIR")
@click.option("--no-input", is_flag=True, help=tell("starting.use_defaults_without"))
@click.option("--like", type=VAN_FILE, metavar="FILE", help=tell("starting.like"))
def new(folder: Path, no_input: bool, like: Path | None, **given: str | None) -> None:
    """Create a starter van file in DIR."""
    import secrets

    from vandoc.doors.cli.likewise import text_like
    from vandoc.doors.output import create_files, refuse_folder
    from vandoc.reading.starter import Answers, refuse_together, render

    token = secrets.token_hex(8)
    try:
        above, units = _workshop_above(folder / "van.yml")
        click.get_current_context().with_resource(measuring_in(units))
        started = render(Answers(), "token")
        refuse_folder(folder, {"van.yml": None, SCHEMA: started[SCHEMA].encode()})
        left_out = ("workshop", "phone") if above is not None else ()
        typed = _read_options({key: text for key, text in given.items() if text is not None})
        answers: dict[str, Any] = {} if above is None else {"workshop": above}
        if like is not None:
            asked = _asked(typed, no_input, only=("name", "site"))
            text = text_like(like, folder / "van.yml", asked.get("name"), _address(asked.get("site"), token))
            written = {"van.yml": text, SCHEMA: started[SCHEMA]}
        else:
            answers |= _asked(typed, no_input, without=left_out)
            refuse_together(Answers(**answers))
            written = render(Answers(**answers), token, contact_above=above is not None)
    except (VandocError, ValueError) as error:
        stop(str(error))
    # The schema first: if this fails, no van file exists that would block a second attempt.
    contents = {name: written[name].encode() for name in (SCHEMA, "van.yml")}
    try:
        for path in create_files(folder, contents)[::-1]:
            click.echo(path)
    except VandocError as error:
        stop(str(error))


def _address(site: str | None, token: str) -> str | None:
    return f"{site}/{token}/" if site else None


def _read_options(given: dict[str, str]) -> dict[str, Any]:
    """Return the answers given as options by the key of their question.

    Raises
    ------
    ValueError
        With every option that cannot be read.
    """
    from vandoc.reading.starter import QUESTIONS

    answers, wrong = {}, []
    for question in QUESTIONS:
        text = given.get(question.option.removeprefix("--").replace("-", "_"))
        if text is not None:
            try:
                answers[question.key] = question.read(text)
            except ValueError as error:
                wrong.append(f"{question.option}: {error}")
    if wrong:
        raise ValueError("\n".join(wrong))
    return answers


def _asked(
    typed: dict[str, Any], no_input: bool, only: tuple[str, ...] = (), without: tuple[str, ...] = ()
) -> dict[str, Any]:
    """Return the answers of the options and, on a terminal, of prompts for all others.

    Raises
    ------
    ValueError
        If an option has no question here.
    """
    from vandoc.reading.starter import QUESTIONS

    questions = [q for q in QUESTIONS if q.key not in without and (not only or q.key in only)]
    for question in QUESTIONS:
        if question.key in typed and question not in questions:
            raise ValueError(tell("starting.no_such_answer", option=question.option))
    answers = dict(typed)
    open_ones = [question for question in questions if question.key not in typed]
    if no_input or not sys.stdin.isatty():
        return answers
    if len(open_ones) > 1:
        click.echo(tell("starting.going_back", back=BACK))
    said: dict[str, str] = {}
    number = 0
    while number < len(open_ones):
        question = open_ones[number]
        shown = said.get(question.key, question.usual)
        text, value = click.prompt(
            question.asked, default=shown, show_default=bool(shown), value_proc=_reader(question.read)
        )
        if text == BACK:
            number = max(0, number - 1)
            continue
        said[question.key], answers[question.key] = text, value
        number += 1
    return answers


def _workshop_above(file: Path) -> tuple[str | None, Measures]:
    """Return the name and the units in a workshop file above a file; None if there is no file or no name.

    Raises
    ------
    SystemFileError
        If there is one that cannot be used.
    """
    from vandoc.reading.workshop import find, read_workshop

    found = find(file)
    if found is None:
        return None, METRIC
    problems: list[Problem] = []
    tree = read_workshop(found, str(found), problems).tree
    if problems:
        raise SystemFileError(problems)
    stated = tree.plain()
    return stated.get("name"), stated.get("units", METRIC)


def _reader(read: Callable[[str], Any]) -> Callable[[str], tuple[str, Any]]:
    """Return text with its value; an invalid answer is click's own error, so that the prompt is repeated."""

    def value_of(text: str) -> tuple[str, Any]:
        if text.strip() == BACK:
            return BACK, None
        try:
            return text, read(text)
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
        click.get_current_context().with_resource(measuring_in(_workshop_above(out)[1]))
        create_files(out.parent, {out.name: survey()})
        click.echo(out)
    except VandocError as error:
        stop(str(error))
