"""Changes to the text of a van file, one function for each kind of workshop entry."""

from collections.abc import Sequence
from datetime import date
from difflib import get_close_matches
from typing import Any

from vandoc.doors.recording.words import say
from vandoc.model.base import CALCULATED, Ident
from vandoc.model.system import System
from vandoc.reading import editing
from vandoc.reading.explain import as_stated

Section = str
SIZES = ("area", "rating", "capacity", "output")  # a size that was replaced is no longer calculated
EXCLUSIVE_FIELDS = {"current": "power", "power": "current"}  # a load states one of the two


def add_reading(
    draft: editing.Draft,
    section: Section,
    day: date,
    by: str | None,
    measure: str,
    value: str,
    current: str | None = None,
    note: str | None = None,
) -> editing.Draft:
    """Return the draft with a reading in the entry of that date and workshop, which is added if missing.

    Parameters
    ----------
    draft : Draft
    section : str
        ``commissioning`` or ``services``.
    day : date
    by : str or None
        The workshop.
    measure, value : str
        As written in the file.
    current : str, optional
        Current at which a voltage drop was measured.
    note : str, optional
    """

    def change(tree: Any) -> None:
        visits = editing.section(tree, section)
        visit = next((v for v in visits if v.get("date") == day.isoformat() and v.get("by") == by), None)
        if visit is None:
            visit = editing.block(date=day.isoformat(), by=by)
            visits.append(visit)
        readings = editing.section(visit, "readings")
        readings.append(editing.flow(measure=measure, value=value, current=current, note=note or None))

    return editing.changed(draft, change)


def add_work(draft: editing.Draft, key: str, value: str) -> editing.Draft:
    """Return the draft with an entry of the record of the work on the vehicle."""

    def change(tree: Any) -> None:
        if not isinstance(tree.get("installation"), dict):
            tree["installation"] = editing.block()
        tree["installation"][key] = editing.as_text(value)

    return editing.changed(draft, change)


def add_alarm_test(draft: editing.Draft, number: int, day: date, tested_with: str) -> editing.Draft:
    """Return the draft with the newest test of an alarm."""

    def change(tree: Any) -> None:
        alarm = tree["alarms"][number]
        alarm["tested"], alarm["tested_with"] = day.isoformat(), tested_with

    return editing.changed(draft, change)


def add_service(
    draft: editing.Draft,
    day: date,
    by: str,
    odometer: str | None,
    replaced: Sequence[str],
    done: Sequence[str],
    notes: str | None,
) -> editing.Draft:
    """Return the draft with a service entry."""

    def change(tree: Any) -> None:
        visit = editing.block(**_visit(day, by, odometer))
        for key, names in (("replaced", replaced), ("done", done)):
            if names:
                visit[key] = editing.flow_list(list(names))
        if notes:
            visit["notes"] = editing.as_text(notes)
        editing.section(tree, "services").append(visit)

    return editing.changed(draft, change)


def _visit(day: date, by: str, odometer: str | None) -> dict[str, str | None]:
    return {"date": day.isoformat(), "by": by, "odometer": odometer}


def has_service(
    draft: editing.Draft,
    day: date,
    by: str,
    odometer: str | None,
    replaced: Sequence[str],
    done: Sequence[str],
    notes: str | None,
) -> bool:
    """Whether the file already has this service entry, regardless of its readings."""
    wanted = _visit(day, by, odometer) | {"replaced": [*replaced], "done": [*done], "notes": notes}
    wanted = {key: value for key, value in wanted.items() if value}
    visits = editing.plain(draft).get("services") or []
    return any({key: visit[key] for key in visit if key != "readings"} == wanted for visit in visits)


def has_reading(
    draft: editing.Draft, section: Section, day: date, by: str | None, measure: str, value: str
) -> bool:
    """Whether the file already has this reading."""
    visits = editing.plain(draft).get(section) or []
    return any(
        (reading.get("measure"), reading.get("value")) == (measure, value)
        for visit in visits
        if (visit.get("date"), visit.get("by")) == (day.isoformat(), by)
        for reading in visit.get("readings") or []
    )


def with_value(draft: editing.Draft, system: System, name: str, key: str, value: str) -> editing.Draft:
    """Return the draft with a new value for a replaced part; its other values are kept.

    Parameters
    ----------
    draft : Draft
    system : System
        As the draft describes it.
    name : str
        Item of equipment, load, cable or circuit.
    key : str
        Such as ``rating`` or ``cable.area``; added if missing.
    value : str
    """

    def change(tree: Any) -> None:
        thing = _thing(tree, system, name)
        *way, last = key.split(".")
        for step in way:
            if not isinstance(thing.get(step), dict):
                thing[step] = editing.flow()
            thing = thing[step]
        if last in SIZES:
            thing.pop(CALCULATED, None)
        thing[last] = value
        if not way:
            thing.pop(EXCLUSIVE_FIELDS.get(last), None)

    return editing.changed(draft, change)


def _thing(tree: Any, system: System, name: str) -> Any:
    if name in system.equipment:
        return tree["equipment"][name]
    if name in system.loads:
        return tree["loads"][name]
    for index, circuit in enumerate(system.circuits):
        if circuit.id == name:
            return tree["circuits"][index]
    index = _cable_names(system).index(name)
    return tree["cables"][index]


def _cable_names(system: System) -> list[str]:
    return [cable.id or f"{cable.start} to {cable.end}" for cable in system.cables]


def settable(system: System, name: str) -> str:
    """Return the name of an item that can be replaced; reject unknown names.

    Raises
    ------
    ValueError
        With a message for the user.
    """
    known = [*system.equipment, *system.loads, *(c.id for c in system.circuits), *_cable_names(system)]
    if name in known:
        try:
            as_stated(Ident, name)
        except ValueError as error:
            raise ValueError(say("refuse.unnamed", name=name)) from error
        return name
    close = get_close_matches(name, known, 1)
    hint = say("refuse.hint", name=close[0]) if close else ""
    raise ValueError(say("refuse.unknown", name=name, hint=hint))


def as_written(text: str) -> tuple[str, str]:
    """Return key and value of text such as ``capacity: 280 Ah``.

    Raises
    ------
    ValueError
        If it has any other form.

    Examples
    --------
    >>> as_written("fuse.rating: 10 A")
    ('fuse.rating', '10 A')
    """
    key, colon, value = text.partition(":")
    if not colon or not value.strip() or not key.strip().replace(".", "").replace("_", "").isalnum():
        raise ValueError(say("refuse.pair", example="rating: 10 A"))
    return key.strip(), value.strip()
