"""Proposed sizes written into a van file as ordinary values."""

import re
from collections.abc import Collection, Iterable
from difflib import get_close_matches
from itertools import count
from pathlib import Path
from typing import Any

from vandoc.doors.recording.words import say
from vandoc.ground.calc.conductor import size_name
from vandoc.judgement.proposals import Proposal
from vandoc.judgement.proposals.designations import ProposedDesignation
from vandoc.model.base import CALCULATED
from vandoc.reading import editing

BEFORE = "before"  # in the name of the file as it was


def open_sizes(items: Iterable[Proposal], names: Collection[str] = ()) -> tuple[Proposal, ...]:
    """Return the proposals that fit, of all items or of the named ones.

    Parameters
    ----------
    items : iterable of Proposal
    names : collection of str
        Subjects of proposals; empty for all.

    Raises
    ------
    ValueError
        With a message for the user, if nothing is proposed for a name.
    """
    fit = tuple(item for item in items if item.fits)
    known = {item.subject for item in fit}
    for name in names:
        if name not in known:
            close = get_close_matches(name, known, 1)
            hint = say("refuse.hint", name=close[0]) if close else ""
            raise ValueError(say("refuse.not_open", name=name, hint=hint))
    return tuple(item for item in fit if not names or item.subject in names)


def to_write(items: Iterable[Proposal]) -> tuple[Proposal, ...]:
    """Return what must be written: a return conductor without a size is as large as its supply."""
    found = {item.key: item for item in items}

    def as_supply(item: Proposal) -> bool:
        supply = found.get(item.key.replace(".return.", ".cable."), item)
        return supply is not item and supply.value == item.value

    return tuple(item for item in found.values() if not as_supply(item))


def with_sizes(draft: editing.Draft, items: Iterable[Proposal]) -> editing.Draft:
    """Return the draft with proposed sizes as ordinary values, each marked as calculated."""
    found = tuple(items)

    def change(tree: Any) -> None:
        for item in found:
            size = size_name(item.value) if item.what == "cable" else f"{item.value:g} {item.unit}"
            editing.set_at(tree, _steps(item.key), size)[CALCULATED] = "true"

    return editing.changed(draft, change) if found else draft


def with_designations(draft: editing.Draft, items: Iterable[ProposedDesignation]) -> editing.Draft:
    """Return the draft with the proposed designations; items without one are left as they are."""
    found = [item for item in items if item.designation is not None]

    def change(tree: Any) -> None:
        for item in found:
            editing.set_at(tree, _steps(item.key), item.designation)

    return editing.changed(draft, change) if found else draft


def file_before(path: Path) -> Path:
    """Return a name, beside a van file and not yet in use, for the file as it is before a change.

    Examples
    --------
    >>> file_before(Path("/nowhere/van.yml")).name
    'van.before-1.yml'
    """
    names = (path.with_name(f"{path.stem}.{BEFORE}-{number}{path.suffix}") for number in count(1))
    return next(name for name in names if not name.exists())


def _steps(key: str) -> list[str | int]:
    """Return the steps of a key such as ``circuits[3].cable.area``."""
    return [int(number) if number else name for number, name in re.findall(r"\[(\d+)\]|([^.\[]+)", key)]
