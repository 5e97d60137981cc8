"""Shared by the commands: names of files, and ending with an error."""

import sys
from pathlib import Path
from typing import NoReturn

import click

from vandoc.doors.cli.words import tell
from vandoc.ground.errors import ChecksFailedError, VandocError

EXIT_UNUSABLE = 2
VAN_FILE = click.Path(path_type=Path)
SEPARATOR = click.option(
    "--separator",
    type=click.Choice([",", ";", "tab"]),
    default=",",
    show_default=True,
    help=tell("exchanging.separator"),
)


def character_of(separator: str) -> str:
    """Return the character that an option for a separator names."""
    return "\t" if separator == "tab" else separator


def stop(message: str) -> NoReturn:
    """End the command with an error message."""
    click.echo(message.encode("utf-8", "backslashreplace").decode(), err=True)  # a name that is not UTF-8
    sys.exit(EXIT_UNUSABLE)


def refuse(error: Exception) -> None:
    """Print why an answer is not taken; the command goes on."""
    click.echo(tell("refused", reason=error))


def not_made(error: VandocError, failing: str) -> int:
    """Print why one van of several has no manual or papers, and return the exit status.

    Parameters
    ----------
    error : VandocError
    failing : str
        What to print if the reason is that checks fail.
    """
    fails = isinstance(error, ChecksFailedError)
    click.echo(failing if fails else str(error), err=True)
    return 1 if fails else EXIT_UNUSABLE
