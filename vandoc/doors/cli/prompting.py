"""Prompts whose answers are kept until saved, even if the command is interrupted."""

from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar

import click

from vandoc.doors.cli.common import refuse
from vandoc.ground.errors import VandocError

if TYPE_CHECKING:
    from vandoc.doors.recording import Journal

Answer = TypeVar("Answer")
COMMANDS = ("record", "service", "revise")


class StoppedError(Exception):
    """The user ended the prompts."""


class Prompter:
    """Prompts that reuse the answers of an interrupted run."""

    def __init__(self, journal: "Journal") -> None:
        self.journal = journal

    def ask(self, name: str, question: str, read: Callable[[str], Answer], default: str = "") -> Answer:
        """Prompt until the answer is valid, and keep it.

        Parameters
        ----------
        name : str
            Of the question in the journal.
        question : str
        read : callable
            Converts an answer to its value, or raises a ValueError with a message.
        default : str
            The answer if only Enter is pressed.
        """
        while (kept := self.journal.take(name)) is not None:
            click.echo(f"{question}: {kept}")
            try:
                return read(kept)
            except ValueError as error:
                refuse(error)
        given = ""

        def value_of(text: str) -> Any:
            nonlocal given
            given = text.strip()
            try:
                return read(given)
            except ValueError as error:
                raise click.UsageError(str(error)) from error

        answer: Answer = click.prompt(
            question, default=default, show_default=bool(default), value_proc=value_of
        )
        self.journal.keep(name, given)
        return answer


@contextmanager
def prompting(file: Path, command: str, options: Mapping[str, Any]) -> Iterator[Prompter]:
    """Open the journal of a command, offer to continue an interrupted run, and close it at the end.

    Raises
    ------
    VandocError
        If the command is already running on this file, the journal cannot be used, or its answers are
        neither to be used nor deleted.
    """
    from vandoc.doors.recording import Journal, say

    journal = Journal.open(file, command)
    try:
        _offer_to_resume(journal, options)
        _list_other_journals(file, command)
        yield Prompter(journal)
    except BaseException:
        journal.close(finished=False)
        if journal.unfinished:
            click.echo(say("journal.kept", path=journal.path), err=True)
        raise
    journal.close(finished=True)


def _offer_to_resume(journal: "Journal", options: Mapping[str, Any]) -> None:
    from vandoc.doors.recording import say

    if journal.unfinished:
        click.echo(say("journal.found", path=journal.path))
        journal.resumed = click.confirm(say("journal.go_on"), default=True)
        if not journal.resumed and not click.confirm(say("journal.delete"), default=False):
            raise VandocError(say("journal.left", path=journal.path))
    if not journal.resumed:
        journal.begin(options)


def _list_other_journals(file: Path, command: str) -> None:
    """List other commands with an interrupted run."""
    from vandoc.doors.recording import journal_of, say

    for other in COMMANDS:
        path = journal_of(file, other)
        if other != command and path.is_file():
            click.echo(say("journal.other", path=path, command=other), err=True)
