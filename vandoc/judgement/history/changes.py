"""Comparison of two revisions of a van: stated values, computed results, findings and labels."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any, Literal

from vandoc.analysis import Van
from vandoc.judgement import checks
from vandoc.judgement.checks.finding import Finding
from vandoc.judgement.history.labels import Label, stale_labels
from vandoc.model.equipment import Battery

Group = Literal["van", "places", "equipment", "loads", "cables", "circuits", "use", "mains"]
GROUPS: tuple[Group, ...] = ("van", "places", "equipment", "loads", "cables", "circuits", "use", "mains")
LISTED = ("cables", "circuits")
UNTOLD = ("revision",)
OWN_RULES = ("revision-changed", "revision-not-archived", "not-measured")
SMALLEST = 0.05  # of a current or a drop; a smaller change does not matter to a reader


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
class ChangedResult:
    """A changed result of a calculation, as text with its unit."""

    kind: Literal["cable", "fuse", "current", "drop", "capacity"]
    name: str
    old: float
    new: float
    unit: str


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


def compare(old: Van, new: Van) -> Changes:
    """Return the differences between two revisions of one van."""
    before, after = _told(checks.run(old)), _told(checks.run(new))
    return Changes(
        tuple(_stated(old.van_file.tree.plain(), new.van_file.tree.plain())),
        tuple(_moved(old, new)),
        tuple(found for key, found in after.items() if key not in before),
        tuple(found for key, found in before.items() if key not in after),
        stale_labels(old.system, old.sizing, new.system, new.sizing),
    )


def _told(findings: tuple[Finding, ...]) -> dict[tuple[str, str, str], Finding]:
    kept = [f for f in findings if f.rule not in OWN_RULES]
    return {(f.rule, f.subject, f.severity): f for f in kept}


def _stated(old: Mapping[str, Any], new: Mapping[str, Any]) -> Iterator[ChangedValue]:
    for group in GROUPS:
        before, after = _things(group, old.get(group)), _things(group, new.get(group))
        for name in dict.fromkeys([*before, *after]):
            if name not in after:
                yield ChangedValue(group, name, "", _short(before[name]), "", there=False)
            elif name not in before:
                yield ChangedValue(group, name, "", "", _short(after[name]))
            else:
                for key, was, now in _values(before[name], after[name]):
                    if key not in UNTOLD:
                        yield ChangedValue(group, name, key, was, now)


def _things(group: Group, section: Any) -> dict[str, Any]:
    """Return the items of a section by name; a single item has an empty name."""
    if section is None:
        return {}
    if group in LISTED:
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
        if was != now:
            yield key, was, now


def _flat(value: Any, key: str = "") -> Iterator[tuple[str, str]]:
    if isinstance(value, dict):
        for name, child in value.items():
            yield from _flat(child, f"{key}.{name}" if key else str(name))
    elif isinstance(value, list) and any(isinstance(child, dict) for child in value):
        for number, child in enumerate(value, 1):
            yield from _flat(child, f"{key} {number}")
    elif isinstance(value, list):
        yield key, ", ".join(str(child) for child in value)
    else:
        yield key, str(value).lower() if isinstance(value, bool) else str(value)


def _moved(old: Van, new: Van) -> Iterator[ChangedResult]:
    for ident, cable in new.sizing.conductors.items():
        was = old.sizing.conductors.get(ident)
        if was is not None and was.area_mm2 != cable.area_mm2:
            yield ChangedResult("cable", ident, was.area_mm2, cable.area_mm2, "mm²")
    for ident, fuse in new.sizing.fuses.items():
        earlier = old.sizing.fuses.get(ident)
        if earlier is None:
            continue
        if earlier.rating_a != fuse.rating_a:
            yield ChangedResult("fuse", ident, earlier.rating_a, fuse.rating_a, "A")
        if _differs(earlier.design_a, fuse.design_a):
            yield ChangedResult("current", ident, earlier.design_a, fuse.design_a, "A")
    for ident, drop in new.sizing.drops.items():
        lost = old.sizing.drops.get(ident)
        if lost is not None and _differs(lost.percent, drop.percent):
            yield ChangedResult("drop", ident, lost.percent, drop.percent, "%")
    for ident, battery in new.system.equipment.items():
        former = old.system.equipment.get(ident)
        if not isinstance(battery, Battery) or not isinstance(former, Battery):
            continue
        if former.capacity_ah != battery.capacity_ah:
            yield ChangedResult("capacity", ident, former.capacity_ah, battery.capacity_ah, "Ah")


def _differs(old: float, new: float) -> bool:
    return abs(new - old) > SMALLEST * max(abs(old), abs(new))
