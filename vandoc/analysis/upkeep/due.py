"""When each service task is due, by its interval and the equipment fitted."""

from calendar import monthrange
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from functools import cache
from typing import Literal, get_args

from vandoc.ground.data import rows
from vandoc.ground.messages import Messages
from vandoc.model.system import CompletedSystem
from vandoc.model.van import Task

say = Messages("vandoc.analysis.upkeep", "due").say

ALARMS = "alarms."
"""Subject of a task on an alarm: this and its number in the file, from 0."""
By = Literal["owner", "workshop", "electrician"]


@dataclass(frozen=True)
class Interval:
    """The longest time between two services of one kind; a row of `data/service_intervals.csv`."""

    task: str
    months: int
    by: str
    source: str
    from_memory: bool


@dataclass(frozen=True)
class DueTask:
    """One service task that is due.

    Attributes
    ----------
    task : str
        A `Task`, or ``replace``.
    subjects : tuple of str
        The items, loads and alarms concerned; empty if it is the entire van.
    last : date or None
        When it was last done, or when the van was built; None for a date marked on an item.
    day : date
        The day by which it is due.
    by : str
        Who may do it: ``owner``, ``workshop`` or a licensed ``electrician``.
    months : int or None
        The interval; None for a date marked on an item.
    source : str
    from_memory : bool
    """

    task: str
    subjects: tuple[str, ...]
    last: date | None
    day: date
    by: str
    months: int | None
    source: str
    from_memory: bool


@cache
def intervals() -> dict[str, Interval]:
    """Return the interval of each task."""
    return {row.task: row for row in rows("service_intervals", Interval)}


def due(system: CompletedSystem) -> tuple[DueTask, ...]:
    """Return the tasks that are due, soonest first.

    The interval of a task that was never recorded begins on the day the van was built, otherwise with its
    first readings. If neither is stated, only dates marked on items are returned.
    """
    found = [*_tasks(system), *_dated(system)]
    return tuple(sorted(found, key=lambda one: (one.day, one.task, one.subjects)))


def months_after(day: date, months: int) -> date:
    """Return the same day of a later month, or its last day if that month is shorter.

    Examples
    --------
    >>> months_after(date(2026, 3, 14), 24), months_after(date(2027, 11, 30), 3)
    (datetime.date(2028, 3, 14), datetime.date(2028, 2, 29))
    """
    whole = day.year * 12 + day.month - 1 + months
    year, month = whole // 12, whole % 12 + 1
    return date(year, month, min(day.day, monthrange(year, month)[1]))


def _tasks(system: CompletedSystem) -> Iterator[DueTask]:
    for task in get_args(Task):
        subjects, interval, last = _subjects(system, task), intervals()[task], last_done(system, task)
        if subjects is not None and last is not None:
            day = months_after(last, interval.months)
            yield DueTask(
                task, subjects, last, day, interval.by, interval.months, interval.source, interval.from_memory
            )


def _dated(system: CompletedSystem) -> Iterator[DueTask]:
    for ident, thing in system.things.items():
        if thing.replace_by is not None:
            yield DueTask(
                "replace",
                (ident,),
                None,
                thing.replace_by,
                "workshop",
                None,
                say("marked"),
                False,
            )
    for number, alarm in enumerate(system.alarms):
        if alarm.replace_by is not None and alarm.load is None:
            subject = f"{ALARMS}{number}"
            source = say("marked")
            yield DueTask("replace", (subject,), None, alarm.replace_by, "workshop", None, source, False)


def last_done(system: CompletedSystem, task: Task) -> date | None:
    """Return when a task was last done, otherwise when the van was built; None if no day is recorded."""
    days = [service.date for service in system.services if task in service.done]
    if task == "mains-inspection" and system.mains:
        records = (system.mains.hook_up, system.mains.inverter_output)
        days += [record.inspected for record in records if record and record.inspected]
    if days:
        return max(days)
    return system.van.built or min((visit.date for visit in system.commissioning), default=None)


def _subjects(system: CompletedSystem, task: Task) -> tuple[str, ...] | None:
    """The items that a task concerns; None if no such equipment is fitted."""
    batteries = system.leisure
    mains = system.mains and (system.mains.hook_up or system.mains.inverter_output)
    dated = tuple(ident for ident, load in system.loads.items() if load.replace_by is not None)
    fitted: dict[Task, tuple[str, ...] | None] = {
        "re-torque": (),
        "drop-test": (),
        "capacity-test": tuple(batteries) or None,
        "cell-balance": tuple(n for n, b in batteries.items() if b.traits.management) or None,
        "electrolyte": tuple(n for n, b in batteries.items() if b.traits.vented) or None,
        "rcd-test": () if mains else None,
        "mains-inspection": () if mains else None,
        "alarm-test": dated or None,
    }
    return fitted[task]
