"""Comparison of two revisions of a van, and of what two versions of vandoc say of one revision."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any, Literal, TypeVar

from vandoc.analysis import Van
from vandoc.judgement.checks.finding import Finding
from vandoc.judgement.history.labels import Label, stale_labels
from vandoc.judgement.history.results import ChangedResult, figures, moved, told
from vandoc.model.base import CALCULATED
from vandoc.model.fitted import OF_WORKSHOP
from vandoc.reading.archive import KEPT_BY_US, Calculated, KeptFinding

Group = Literal["van", "places", "equipment", "loads", "cables", "circuits", "use", "mains", "house"]
SECTIONS: tuple[Group, ...] = (
    "van",
    "places",
    "equipment",
    "loads",
    "cables",
    "circuits",
    "use",
    "mains",
    "house",
)
NUMBERED_SECTIONS = ("cables", "circuits")


@dataclass(frozen=True)
class ChangedValue:
    """A changed value in the van file.

    Attributes
    ----------
    group : str
        Section of the file.
    name : str
        Name of the item in the file; empty in sections with a single item.
    key : str
        Key of the value, such as ``fuse.rating``; empty if the whole item was added or removed.
    old, new : str
        As written in the files; empty if there is none.
    there : bool
        Whether the later revision has the item.
    """

    group: Group
    name: str
    key: str
    old: str
    new: str
    there: bool = True


@dataclass(frozen=True)
class Changes:
    """All differences between two revisions.

    Attributes
    ----------
    stated : tuple of ChangedValue
        In the order of the file's sections.
    moved : tuple of ChangedResult
        Changed results.
    came, went : tuple of Finding
        Findings of the later revision only, and of the earlier revision only.
    labels : tuple of Label
        Labels of the earlier revision that no longer apply.
    """

    stated: tuple[ChangedValue, ...]
    moved: tuple[ChangedResult, ...]
    came: tuple[Finding, ...]
    went: tuple[Finding, ...]
    labels: tuple[Label, ...]


@dataclass(frozen=True)
class VersionChanges:
    """What the running version of vandoc says otherwise of a van than the version that archived it.

    Attributes
    ----------
    version : str
        Of vandoc, that archived it.
    moved : tuple of ChangedResult
        Figures that are calculated otherwise.
    came, went : tuple of Finding or KeptFinding
        Findings of the running version only, and of the earlier version only.
    """

    version: str
    moved: tuple[ChangedResult, ...]
    came: tuple[Finding, ...]
    went: tuple[KeptFinding, ...]


def compare(old: Van, new: Van) -> Changes:
    """Return the differences between two revisions of one van, both as this version calculates them."""
    came, went = _came_and_went(told(old), told(new))
    return Changes(
        tuple(_stated(old.van_file.tree.plain(), new.van_file.tree.plain())),
        tuple(moved(figures(old), figures(new))),
        came,
        went,
        stale_labels(old.system, old.sizing, new.system, new.sizing),
    )


def by_vandoc(kept: Calculated, van: Van) -> VersionChanges:
    """Return what changed of a revision because vandoc changed.

    Parameters
    ----------
    kept : Calculated
        The results that the revision keeps.
    van : Van
        The same revision, calculated by this version.
    """
    came, went = _came_and_went(kept.findings, told(van))
    return VersionChanges(kept.version, tuple(moved(kept.figures, figures(van))), came, went)


Earlier = TypeVar("Earlier", Finding, KeptFinding)
Told = TypeVar("Told", Finding, KeptFinding)


def _came_and_went(
    old: tuple[Earlier, ...], new: tuple[Finding, ...]
) -> tuple[tuple[Finding, ...], tuple[Earlier, ...]]:
    before, after = _keyed(old), _keyed(new)
    came = tuple(found for key, found in after.items() if key not in before)
    went = tuple(found for key, found in before.items() if key not in after)
    return came, went


def _keyed(findings: tuple[Told, ...]) -> dict[tuple[str, str, str], Told]:
    return {(f.rule, f.subject, f.severity): f for f in findings}


def _stated(old: Mapping[str, Any], new: Mapping[str, Any]) -> Iterator[ChangedValue]:
    for group in SECTIONS:
        before, after = _things(group, old.get(group)), _things(group, new.get(group))
        for name in dict.fromkeys([*before, *after]):
            if name not in after:
                yield ChangedValue(group, name, "", _short(before[name]), "", there=False)
            elif name not in before:
                yield ChangedValue(group, name, "", "", _short(after[name]))
            else:
                for key, was, now in _values(before[name], after[name]):
                    if key not in KEPT_BY_US and key not in _of_workshop(group):
                        yield ChangedValue(group, name, key, was, now)


def _of_workshop(group: Group) -> frozenset[str]:
    """Return the keys of an item that are never published, so that no page of changes tells them."""
    return OF_WORKSHOP if group in ("equipment", "loads") else frozenset()


def _things(group: Group, section: Any) -> dict[str, Any]:
    """Return the items of a section by name; a single item has an empty name."""
    if section is None:
        return {}
    if group in NUMBERED_SECTIONS:
        return {
            str(entry.get("id") or f"{entry.get('from')} to {entry.get('to')}"): entry for entry in section
        }
    return dict(section) if group in ("places", "equipment", "loads") else {"": section}


def _short(thing: Any) -> str:
    """Return the name of an item that has one of its own."""
    return str(thing.get("name") or thing.get("label") or "") if isinstance(thing, dict) else str(thing)


def _values(old: Any, new: Any) -> Iterator[tuple[str, str, str]]:
    before, after = dict(_flat(old)), dict(_flat(new))
    for key in dict.fromkeys([*before, *after]):
        was, now = before.get(key, ""), after.get(key, "")
        if was != now and not _was_open(key, before, after):
            yield key, was, now


def _was_open(key: str, before: Mapping[str, str], after: Mapping[str, str]) -> bool:
    """Whether only a proposal was written down; if the size itself differs, a result says so."""
    holder, dot, last = key.rpartition(".")
    mark = f"{holder}{dot}{CALCULATED}"
    return last == CALCULATED or (key not in before and mark in after and mark not in before)


def _flat(value: Any, key: str = "") -> Iterator[tuple[str, str]]:
    if isinstance(value, dict):
        for name, child in value.items():
            if name == "return" and isinstance(child, str):
                child = {"to": child}  # its short form
            yield from _flat(child, f"{key}.{name}" if key else str(name))
    elif isinstance(value, list) and any(isinstance(child, dict) for child in value):
        for number, child in enumerate(value, 1):
            yield from _flat(child, f"{key} {number}")
    elif isinstance(value, list):
        yield key, ", ".join(str(child) for child in value)
    else:
        yield key, str(value).lower() if isinstance(value, bool) else str(value)
