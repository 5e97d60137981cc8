"""What commands share: how they name a file, and how they end."""

import os
import sys
from contextlib import suppress
from pathlib import Path
from typing import NoReturn

import click

from vandoc.errors import VandocError

UNUSABLE = 2
VAN_FILE = click.Path(path_type=Path)


def stop(message: str) -> NoReturn:
    """Say why a command cannot go on, and end it."""
    click.echo(message, err=True)
    sys.exit(UNUSABLE)


def write_whole(path: Path, content: bytes) -> Path:
    """Write a file so that it is there whole or as it was before.

    Raises
    ------
    VandocError
        If it cannot be written; nothing half written is left.
    """
    fresh = path.with_name(f".{path.name}.new")
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        with fresh.open("wb") as stream:
            stream.write(content)
            stream.flush()
            os.fsync(stream.fileno())
        fresh.replace(path)
    except OSError as error:
        with suppress(OSError):
            fresh.unlink()
        raise VandocError(f"{path}: cannot be written: {error.strerror}") from error
    return path
