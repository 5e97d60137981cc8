"""The commands that a new van file begins with: `new` and `schema`."""

import json
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import click

from vandoc.cli.common import VAN_FILE, stop, write_whole
from vandoc.errors import VandocError


@click.command()
@click.argument("folder", type=VAN_FILE, metavar="DIR")
@click.option("--no-input", is_flag=True, help="Use the defaults without prompting.")
def new(folder: Path, no_input: bool) -> None:
    """Create a starter van file in DIR.

    The file is commented and valid, and builds as it is. On a terminal, vandoc prompts for the main details.
    Exit status: 0 if the file is written, 2 if it already exists or cannot be written.
    """
    import secrets

    from vandoc.starter import QUESTIONS, Answers, render

    answers = {}
    if not no_input and sys.stdin.isatty():
        for question in QUESTIONS:
            answers[question.key] = click.prompt(
                question.text,
                default=question.default,
                show_default=bool(question.default),
                value_proc=_reader(question.read),
            )
    written = render(Answers(**answers), secrets.token_hex(8))
    present = [folder / name for name in written if (folder / name).exists()]
    if present:
        stop(f"{present[0]}: already exists and was not overwritten; give another name")
    try:
        for name, text in written.items():
            target = folder / name
            target.parent.mkdir(parents=True, exist_ok=True)
            with target.open("x", encoding="utf-8") as stream:
                stream.write(text)
            click.echo(target)
    except OSError as error:
        stop(f"{error.filename or folder}: cannot be written: {error.strerror}")


def _reader(read: Callable[[str], Any]) -> Callable[[str], Any]:
    """Turn a refused answer into click's own, so that the question is asked again."""

    def value_of(text: str) -> Any:
        try:
            return read(text)
        except ValueError as error:
            raise click.UsageError(str(error)) from error

    return value_of


@click.command()
def schema() -> None:
    """Print the JSON Schema of a van file.

    With it, an editor completes and checks the keys of the file.
    """
    from vandoc.schema import json_schema

    click.echo(json.dumps(json_schema(), ensure_ascii=False, indent=1))


@click.command("survey")
@click.argument("out", type=VAN_FILE, metavar="OUT.pdf")
def survey_command(out: Path) -> None:
    """Write a survey sheet to fill in by hand at the van.

    It asks for everything a van file needs, in the same words, and has a grid for the plan. Exit
    status: 0 if the sheet is written, 2 if it already exists or cannot be written.
    """
    from vandoc.paper.survey import survey

    if out.exists():
        stop(f"{out}: already exists and was not overwritten; give another name")
    try:
        click.echo(write_whole(out, survey()))
    except VandocError as error:
        stop(str(error))
