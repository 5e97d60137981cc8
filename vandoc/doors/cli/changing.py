"""A van file read to be changed, and the change shown or written: what commands that change it share."""

from difflib import unified_diff
from pathlib import Path
from typing import TYPE_CHECKING

import click

from vandoc.ground.errors import SystemFileError, VandocError
from vandoc.ground.measures import measuring_in

if TYPE_CHECKING:
    from vandoc.analysis import Van
    from vandoc.reading.editing import Draft


def read_van(file: Path, draft: "Draft | None" = None) -> "tuple[Van, Draft]":
    """Read a van file to change it; the system and the draft come from the same text."""
    from vandoc.analysis import Van
    from vandoc.reading import editing
    from vandoc.reading.archive import revisions
    from vandoc.reading.loader import load

    draft = editing.read(file) if draft is None else draft
    van_file = load(file, text=draft.text)
    # Prompts have the units of the workshop.
    if (context := click.get_current_context(silent=True)) is not None:
        context.with_resource(measuring_in(van_file.system.house.units))
    return Van.of(van_file, revisions(van_file)), draft


def save(file: Path, before: "Draft", after: "Draft") -> "Draft":
    """Write a change into the van file, unless the result would be invalid.

    Raises
    ------
    SystemFileError
        If the change would make the file unusable.
    ChangedMeanwhileError
        If the file has changed since it was read.
    VandocError
        If the file cannot be written, or was unusable before the change.
    """
    from vandoc.reading import editing
    from vandoc.reading.loader import load

    if after is before:
        return before
    try:
        load(file, text=after.text)
    except SystemFileError as error:
        try:
            load(file, text=before.text)
        except SystemFileError as earlier:
            raise VandocError(str(earlier)) from error
        raise
    return editing.save(after)


def save_beside(file: Path, before: "Draft", after: "Draft") -> str:
    """Write a change into the van file, with the file as it was kept beside it; return the name of that copy.

    Raises
    ------
    VandocError
        As of :func:`save`; the copy is then taken away again.
    """
    from vandoc.doors.output import create_files
    from vandoc.doors.recording import file_before

    copy = file_before(before.path)
    create_files(copy.parent, {copy.name: before.raw})
    try:
        save(file, before, after)
    except VandocError:
        copy.unlink(missing_ok=True)
        raise
    return click.format_filename(copy.name)


def differing(file: Path, before: "Draft", after: "Draft") -> str:
    """Return the difference between two texts of a van file, line by line."""
    name = click.format_filename(file)
    lines = (before.text.splitlines(keepends=True), after.text.splitlines(keepends=True))
    return "".join(unified_diff(*lines, name, name))
