"""Shared by the commands: names of files, and ending with an error."""

import sys
from pathlib import Path
from typing import NoReturn

import click

EXIT_UNUSABLE = 2
VAN_FILE = click.Path(path_type=Path)


def stop(message: str) -> NoReturn:
    """End the command with an error message."""
    click.echo(message.encode("utf-8", "backslashreplace").decode(), err=True)  # a name that is not UTF-8
    sys.exit(EXIT_UNUSABLE)
