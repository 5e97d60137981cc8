"""The electrician's page of changes and reasons: each revision compared with the previous one."""

from collections.abc import Iterator
from dataclasses import dataclass, replace

from vandoc.analysis import Van
from vandoc.ground.errors import SystemFileError
from vandoc.ground.figures import day, duration, quantity, stated
from vandoc.ground.measures import in_house, value_in_house
from vandoc.judgement.checks.finding import Finding
from vandoc.judgement.history import CHOSEN, ChangedResult, ChangedValue, Changes, Label, by_vandoc, compare
from vandoc.pages.manual.book import Book
from vandoc.pages.manual.page import Page
from vandoc.pages.manual.since import archived
from vandoc.pages.manual.text import enumerated, say, upper_first
from vandoc.reading.archive import KeptFinding, Revision

Row = tuple[str, str, str]
"""A result by its name, before and now."""
FindingRow = tuple[str, str]
"""Severity and message of a finding."""


@dataclass(frozen=True)
class ByVandoc:
    """What this version of vandoc says otherwise of a revision than the version that archived it.

    Attributes
    ----------
    version : str or None
        Version that archived the revision; None if the revision does not keep its results.
    """

    version: str | None
    moved: tuple[Row, ...] = ()
    came: tuple[FindingRow, ...] = ()
    went: tuple[FindingRow, ...] = ()


@dataclass(frozen=True)
class RevisionStep:
    """The changes from one revision to the next.

    Attributes
    ----------
    title, when, why : str
    first : bool
        Whether it is the first revision, with nothing to compare.
    unreadable : bool
        Whether one of the two can no longer be read, so that no comparison is possible.
    packages : str
        Packages of others that added something when it was archived; empty if there were none.
    by_vandoc : ByVandoc or None
        None for changes that are not archived, and for a revision that can no longer be read.
    """

    title: str
    when: str
    why: str
    first: bool
    unreadable: bool
    stated: tuple[tuple[str, str, str, str], ...] = ()
    moved: tuple[Row, ...] = ()
    came: tuple[FindingRow, ...] = ()
    went: tuple[FindingRow, ...] = ()
    labels: tuple[str, ...] = ()
    packages: str = ""
    by_vandoc: ByVandoc | None = None


def pages(book: Book) -> Iterator[Page]:
    """Yield the page of all changes, the newest first."""
    steps: list[RevisionStep] = []
    before: Van | None = None
    for number, revision in enumerate(book.revisions, 1):
        now = archived(book)[revision.mark]
        step = _step(revision, before, now, first=number == 1)
        packages = enumerated(map(str, revision.packages))
        steps.append(replace(step, packages=packages, by_vandoc=_by_vandoc(revision, now)))
        before = now
    if book.changed:
        steps.append(_unarchived(before, book.van))
    view = {"steps": steps[::-1], "changed": book.changed, "revision": book.revision}
    yield Page("electrician/changes.md", "electrician/changes", say("menu.changes"), view, searched=False)


def _step(revision: Revision, before: Van | None, now: Van | None, *, first: bool) -> RevisionStep:
    title = say("changes.revision", mark=revision.mark)
    if before is None or now is None:
        return RevisionStep(title, day(revision.date), revision.why, first, not first or now is None)
    return _filled(title, day(revision.date), revision.why, now, compare(before, now))


def _by_vandoc(revision: Revision, now: Van | None) -> ByVandoc | None:
    """Compare the results that a revision keeps with those of this version for the same van."""
    if now is None:
        return None
    try:
        kept = revision.calculated()
    except SystemFileError:
        kept = None
    if kept is None:
        return ByVandoc(None)
    changes = by_vandoc(kept, now)
    return ByVandoc(
        changes.version,
        tuple(_moved(one, now) for one in changes.moved),
        tuple(_found(finding) for finding in changes.came),
        tuple(_found(finding) for finding in changes.went),
    )


def _unarchived(before: Van | None, now: Van) -> RevisionStep:
    title = say("changes.unarchived")
    if before is None:
        return RevisionStep(title, "", "", False, True)
    return _filled(title, "", "", now, compare(before, now))


def _filled(title: str, when: str, why: str, now: Van, changes: Changes) -> RevisionStep:
    return RevisionStep(
        title,
        when,
        why,
        False,
        False,
        tuple(_stated(change) for change in changes.stated),
        tuple(_moved(one, now) for one in changes.moved),
        tuple(_found(finding) for finding in changes.came),
        tuple(_found(finding) for finding in changes.went),
        tuple(_label(label, now) for label in changes.labels),
    )


def _stated(change: ChangedValue) -> tuple[str, str, str, str]:
    what, none = change.name or say(f"changes.group.{change.group}"), say("changes.none")
    if change.key:
        key = change.key.replace(".", " ").replace("_", " ")
        # what is marked on a cable stays as it is marked
        old, new = (
            (text if key.endswith("area") else value_in_house(text)) for text in (change.old, change.new)
        )
        return what, key, old or none, new or none
    thing = say(f"changes.thing.{change.group}")
    if change.there:
        return what, thing, "", change.new or say("changes.came")
    return what, thing, change.old or say("changes.there"), say("changes.went")


def _moved(one: ChangedResult, now: Van) -> Row:
    name = one.name if one.kind == "cable" else _name(one.name, now)
    what = upper_first(say(f"changes.moved.{one.kind}", name=name))
    return what, _result(one, one.old), _result(one, one.new)


def _result(one: ChangedResult, value: float) -> str:
    if one.kind == "autonomy":
        return duration(24 * value, sure="down", in_days=True)
    return (stated if one.kind in CHOSEN else quantity)(value, one.unit)


def _found(finding: Finding | KeptFinding) -> FindingRow:
    return say(f"severity_one.{finding.severity}"), in_house(finding.message)


def _label(label: Label, now: Van) -> str:
    key = "gone" if label.gone else "replace"
    return say(f"changes.label.{key}", what=say(f"changes.label.{label.kind}", name=_name(label.name, now)))


def _name(ident: str, now: Van) -> str:
    owner, _, position = ident.partition(".")
    thing = now.system.equipment.get(owner) or now.system.loads.get(owner)
    if thing is None:
        return ident
    return say("fuse.short_on", position=position, board=thing.name) if position else thing.name
