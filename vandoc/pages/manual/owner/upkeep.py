"""The page on the next service, and its dates for a calendar."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from uuid import NAMESPACE_URL, uuid5

from vandoc.analysis.upkeep import ALARMS, DueTask, due
from vandoc.ground.figures import day
from vandoc.pages.manual.book import Book
from vandoc.pages.manual.imprint import last_day
from vandoc.pages.manual.page import Page
from vandoc.pages.manual.text import clean, enumerated, say, upper_first

CALENDAR = "service.ics"
NOTICE_DAYS = 14  # a calendar reminds this long before the due date


@dataclass(frozen=True)
class DueRow:
    """A maintenance task in words, with its due date for the page's script."""

    what: str
    day: str
    date: date
    every: str
    source: str


def pages(book: Book) -> Iterator[Page]:
    """Yield the page on the next service."""
    found = due(book.system)
    view: dict[str, object] = {
        "first": next((_row(book, one) for one in found if one.by != "owner"), None),
        "yours": [_row(book, one) for one in found if one.by == "owner"],
        "theirs": [_row(book, one) for one in found if one.by != "owner"],
        "calendar": CALENDAR if found else "",
    }
    yield Page("service.md", "owner/service", say("menu.service"), view, scripts=("dates",))


def soonest(book: Book) -> list[DueRow]:
    """Return the tasks that the start page shows when overdue: service and replacements."""
    found = due(book.system)
    service = [one for one in found if one.by != "owner" and one.task != "replace"][:1]
    return [_row(book, one) for one in (*service, *(one for one in found if one.task == "replace"))]


def _row(book: Book, one: DueTask) -> DueRow:
    key = "due.monthly" if one.months == 1 else "due.every"
    every = say(key, months=one.months) if one.months else ""
    source = say("from_memory", source=one.source) if one.from_memory else one.source
    return DueRow(_what(book, one), day(one.day), one.day, every, source)


def _what(book: Book, one: DueTask) -> str:
    listed = enumerated(_name(book, ident) for ident in one.subjects)
    return say(f"due.{one.task}", names=listed)


def _name(book: Book, ident: str) -> str:
    if not ident.startswith(ALARMS):
        return book.name(ident)
    alarm = book.system.alarms[int(ident.removeprefix(ALARMS))]
    return say("alarm_at", alarm=say(f"alarm_named.{alarm.detects}"), place=book.where(alarm.place).label)


def files(book: Book) -> dict[str, str | bytes]:
    """Return the due dates as a calendar file (RFC 5545) by its path; empty if there are none."""
    found = due(book.system)
    return {CALENDAR: calendar(book, found)} if found else {}


def calendar(book: Book, found: Sequence[DueTask]) -> bytes:
    """Return the due dates as all-day calendar events, each with a reminder two weeks before.

    The time stamp is the date of the latest entry in the van file, so that output is reproducible.
    """
    from icalendar import Alarm, Calendar, Event  # slow to load and not needed by the checks

    made = Calendar()
    made.add("version", "2.0")
    made.add("prodid", "-//vandoc//EN")
    name = clean(book.system.van.name)
    home, contact = book.system.van.published or name, book.contact
    stamp = last_day(book.system) or min(one.day for one in found)
    for one in found:
        event = Event()
        what = upper_first(clean(_what(book, one)))
        event.add("uid", str(uuid5(NAMESPACE_URL, "\n".join((home, one.task, *one.subjects)))))
        event.add("dtstamp", datetime.combine(stamp, time(), UTC))
        event.add("dtstart", one.day)
        event.add("dtend", one.day + timedelta(days=1))
        event.add("summary", say("due.summary", van=name, what=what))
        who = say(f"due.by_{one.by}", workshop=contact.name, phone=contact.phone or "")
        event.add("description", who)
        event.add("transp", "TRANSPARENT")
        alarm = Alarm()
        alarm.add("action", "DISPLAY")
        alarm.add("description", what)
        alarm.add("trigger", timedelta(days=-NOTICE_DAYS))
        event.add_component(alarm)
        made.add_component(event)
    written: bytes = made.to_ical()
    return written
