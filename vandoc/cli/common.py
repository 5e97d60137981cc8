"""What commands share: how they name a file, and how they end."""

import sys
from pathlib import Path
from typing import NoReturn

import click

from vandoc.errors import VandocError

UNUSABLE = 2
VAN_FILE = click.Path(path_type=Path)


def stop(message: str) -> NoReturn:
    """Say why a command cannot go on, and end it."""
    click.echo(message.encode("utf-8", "backslashreplace").decode(), err=True)  # a name that is not UTF-8
    sys.exit(UNUSABLE)


def write_whole(path: Path, content: bytes) -> Path:
    """Write a file, and its folder where it is not there yet; whole, or as it was before.

    Raises
    ------
    VandocError
        If it cannot be written.
    """
    from vandoc.editing import replace_file

    try:
        path.parent.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise VandocError(f"{path}: cannot be written: {error.strerror}") from error
    replace_file(path, content)
    return path
