"""Alarms and the work on the vehicle itself, as rows of the handover page: recorded, or left to fill in."""

from dataclasses import dataclass

from vandoc.ground.figures import day, stated
from vandoc.model.fitting import Alarm, Installation
from vandoc.pages.manual.book import Book, PlaceView
from vandoc.pages.manual.text import say


@dataclass(frozen=True)
class AlarmRow:
    """An alarm; what is not recorded is empty."""

    title: str
    where: PlaceView
    position: str
    standard: str
    replace_by: str
    tested: str
    proved: str


def alarm_rows(book: Book) -> list[AlarmRow]:
    """Return the alarms in the order of the file."""
    return [_row(book, alarm) for alarm in book.system.alarms]


def work_rows(book: Book) -> list[tuple[str, str]]:
    """Return each thing that the installer records, and what is recorded; empty if nothing is."""
    record = book.system.installation or Installation()
    rows = []
    for key in Installation.model_fields:
        value = getattr(record, key)
        shown = stated(value, "kg") if isinstance(value, float) else value or ""
        rows.append((say(f"fitting.{key}"), shown))
    return rows


def _row(book: Book, alarm: Alarm) -> AlarmRow:
    return AlarmRow(
        say(f"alarm_detects.{alarm.detects}"),
        book.where(alarm.place),
        alarm.position or "",
        alarm.standard or "",
        day(alarm.replace_by) if alarm.replace_by else "",
        day(alarm.tested) if alarm.tested else "",
        say(f"alarm_tested.{alarm.tested_with}") if alarm.tested_with else "",
    )
