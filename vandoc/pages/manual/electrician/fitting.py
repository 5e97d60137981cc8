"""Alarms and the work on the vehicle itself, as rows of the handover page: recorded, or left to fill in."""

from dataclasses import dataclass

from vandoc.ground.figures import day, stated
from vandoc.model.fitting import Alarm, Installation
from vandoc.pages.manual.book import Book, PlaceView
from vandoc.pages.manual.text import say, together
from vandoc.physics.network.expand import area_in_mm2


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
        rows.append((say(f"fitting.{key}"), _shown(key, getattr(record, key))))
    return rows


def _shown(key: str, value: object) -> str:
    """Return what is recorded as text; empty if nothing is."""
    if isinstance(value, bool):
        return say("fitting_yes") if value else ""
    if isinstance(value, float):
        return stated(value, "kg") if key.endswith("_kg") else stated(1000 * value, "mm")
    if isinstance(value, list):
        areas = ((area_in_mm2(test.area_mm2) or 0.0, test.force_n) for test in value)
        return together(f"{stated(area, 'mm²')}: {stated(force, 'N')}" for area, force in areas)
    return str(value or "")


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
