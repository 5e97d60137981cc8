"""What commands share: how they name a file, and how they end."""

import sys
from pathlib import Path
from typing import NoReturn

import click

UNUSABLE = 2
VAN_FILE = click.Path(path_type=Path)


def stop(message: str) -> NoReturn:
    """Say why a command cannot go on, and end it."""
    click.echo(message.encode("utf-8", "backslashreplace").decode(), err=True)  # a name that is not UTF-8
    sys.exit(UNUSABLE)
