"""When the next service is due: by time, and by what is fitted."""

from calendar import monthrange
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from functools import cache
from typing import Literal, get_args

from vandoc.ground.data import rows
from vandoc.model import equipment as eq
from vandoc.model.system import System
from vandoc.model.van import Task

By = Literal["owner", "workshop", "electrician"]


@dataclass(frozen=True)
class Interval:
    """How long may pass between two of a kind; a row of `data/service_intervals.csv`."""

    task: str
    months: int
    by: str
    source: str
    from_memory: bool


@dataclass(frozen=True)
class DueTask:
    """One thing to be done.

    Attributes
    ----------
    task : str
        A `Task`, or ``replace``.
    subjects : tuple of str
        The pieces and loads it is done to; empty where it is the whole van.
    last : date or None
        When it was last done, or the van was new; None for what carries its own date.
    day : date
        By which it is to be done.
    by : str
        Who may do it: ``owner``, ``workshop`` or a licensed ``electrician``.
    months : int or None
        How long may pass between two; None for what carries its own date.
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
    """Return the intervals by their task."""
    return {row.task: row for row in rows("service_intervals", Interval)}


def due(system: System) -> tuple[DueTask, ...]:
    """Return what is to be done and by which day, the soonest first.

    What was never recorded as done counts from the day on which the van was built, or else from its first
    reading; without either there is no day to count from, and only what carries its own date is returned.
    """
    found = [*_tasks(system), *_dated(system)]
    return tuple(sorted(found, key=lambda one: (one.day, one.task, one.subjects)))


def months_after(day: date, months: int) -> date:
    """Return the same day of a later month, or its last where it is shorter.

    Examples
    --------
    >>> months_after(date(2026, 3, 14), 24), months_after(date(2027, 11, 30), 3)
    (datetime.date(2028, 3, 14), datetime.date(2028, 2, 29))
    """
    whole = day.year * 12 + day.month - 1 + months
    year, month = whole // 12, whole % 12 + 1
    return date(year, month, min(day.day, monthrange(year, month)[1]))


def _tasks(system: System) -> Iterator[DueTask]:
    for task in get_args(Task):
        subjects, interval, last = _subjects(system, task), intervals()[task], last_done(system, task)
        if subjects is not None and last is not None:
            day = months_after(last, interval.months)
            yield DueTask(
                task, subjects, last, day, interval.by, interval.months, interval.source, interval.from_memory
            )


def _dated(system: System) -> Iterator[DueTask]:
    for ident, thing in system.things.items():
        if thing.replace_by is not None:
            yield DueTask(
                "replace",
                (ident,),
                None,
                thing.replace_by,
                "workshop",
                None,
                "date marked on the item",
                False,
            )


def last_done(system: System, task: Task) -> date | None:
    """Return when a task was last done, or else when the van was new; None where no day is recorded."""
    days = [service.date for service in system.services if task in service.done]
    if task == "mains-inspection" and system.mains:
        records = (system.mains.hook_up, system.mains.inverter_output)
        days += [record.inspected for record in records if record and record.inspected]
    if days:
        return max(days)
    return system.van.built or min((visit.date for visit in system.commissioning), default=None)


def _subjects(system: System, task: Task) -> tuple[str, ...] | None:
    """What a task is done to; None where nothing of the kind is fitted."""
    batteries = {
        n: p for n, p in system.equipment.items() if isinstance(p, eq.Battery) and p.role == "leisure"
    }
    mains = system.mains and (system.mains.hook_up or system.mains.inverter_output)
    dated = tuple(ident for ident, load in system.loads.items() if load.replace_by is not None)
    fitted: dict[Task, tuple[str, ...] | None] = {
        "re-torque": (),
        "drop-test": (),
        "capacity-test": tuple(batteries) or None,
        "cell-balance": tuple(n for n, b in batteries.items() if b.chemistry == "LiFePO4") or None,
        "electrolyte": tuple(n for n, b in batteries.items() if b.chemistry == "flooded") or None,
        "rcd-test": () if mains else None,
        "mains-inspection": () if mains else None,
        "alarm-test": dated or None,
    }
    return fitted[task]
