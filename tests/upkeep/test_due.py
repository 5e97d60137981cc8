"""When the next service is due, and the calendar that says so."""

from datetime import UTC, date, datetime, timedelta
from typing import Any

import pytest
from dateutil.relativedelta import relativedelta
from hypothesis import given
from hypothesis import strategies as st
from icalendar import Calendar

from tests.manual.manuals import VANS, judged, manual, page, with_system, words
from vandoc.analysis.upkeep import due
from vandoc.analysis.upkeep.due import intervals, months_after
from vandoc.model.system import System
from vandoc.model.van import Service
from vandoc.pages.manual.book import Book
from vandoc.pages.manual.owner.upkeep import NOTICE_DAYS, calendar

BUILT = date(2026, 3, 14)


def changed(van: str, **update: Any) -> System:
    return judged(van).van_file.system.model_copy(update=update)


def bare(van: str) -> System:
    """The van as it was new: built on a day, never serviced, nothing with a date of its own."""
    system = judged(van).van_file.system
    things = {
        name: {k: v.model_copy(update={"replace_by": None}) for k, v in getattr(system, name).items()}
        for name in ("equipment", "loads")
    }
    new = system.van.model_copy(update={"built": BUILT})
    return system.model_copy(update={"van": new, "services": [], "mains": None, "alarms": [], **things})


def days(system: System) -> dict[str, date]:
    return {one.task: one.day for one in due(system)}


@given(st.dates(date(1990, 1, 1), date(2100, 1, 1)), st.integers(0, 600))
def test_months_are_counted_as_a_general_library_counts_them(day, months):
    assert months_after(day, months) == day + relativedelta(months=months)


def test_a_task_never_done_counts_from_the_day_the_van_was_built():
    found = days(bare("curlew"))
    assert found == {
        "re-torque": date(2027, 3, 14),
        "cell-balance": date(2027, 3, 14),
        "drop-test": date(2028, 3, 14),
        "capacity-test": date(2028, 3, 14),
    }


def test_tasks_follow_from_the_equipment_fitted():
    assert "electrolyte" in days(bare("heron"))  # vented lead
    assert "cell-balance" not in days(bare("heron"))
    assert not {"electrolyte", "cell-balance"} & set(days(bare("wren")))  # AGM


def test_a_task_counts_from_the_service_that_did_it():
    visit = Service(date=date(2028, 6, 2), by="Invented Works", done=["re-torque"])
    found = days(bare("wren").model_copy(update={"services": [visit]}))
    assert found["re-torque"] == date(2029, 6, 2)
    assert found["drop-test"] == date(2028, 3, 14)


def test_an_inspection_of_the_mains_counts_from_the_last_one():
    system = judged("curlew").van_file.system
    mains = system.mains
    assert mains is not None
    assert mains.hook_up is not None
    hook_up = mains.hook_up.model_copy(update={"inspected": date(2030, 1, 31)})
    system = system.model_copy(update={"mains": mains.model_copy(update={"hook_up": hook_up})})
    assert days(system)["mains-inspection"] == date(2033, 1, 31)
    assert next(one for one in due(system) if one.task == "mains-inspection").by == "electrician"


def test_a_date_marked_on_an_item_is_its_due_date():
    system = bare("curlew")
    alarm = system.loads["alarm"].model_copy(update={"replace_by": date(2031, 5, 1)})
    system = system.model_copy(update={"loads": {**system.loads, "alarm": alarm}})
    found = {one.task: one for one in due(system)}
    assert found["replace"].day == date(2031, 5, 1)
    assert found["replace"].subjects == found["alarm-test"].subjects == ("alarm",)


def test_without_any_date_nothing_is_made_up():
    system = bare("wren")
    system = system.model_copy(
        update={"van": system.van.model_copy(update={"built": None}), "commissioning": []}
    )
    assert due(system) == ()
    pages = manual_of(system)
    assert "service.ics" not in pages.files
    assert "No build date or service is recorded" in str(pages.files["service.md"])


def manual_of(system: System) -> Any:
    from tests.manual.manuals import pages_of

    return pages_of(with_system(judged("wren"), system))


def test_every_interval_says_where_it_comes_from():
    for interval in intervals().values():
        assert interval.source
        assert interval.months > 0
        assert interval.by in ("owner", "workshop", "electrician")


@pytest.mark.parametrize("van", VANS)
def test_the_calendar_reads_back_as_the_page_says(van):
    """RFC 5545, read by a general-purpose library."""
    files = manual(van).files
    written = files["service.ics"]
    assert isinstance(written, bytes)
    assert all(len(line) <= 75 for line in written.split(b"\r\n"))  # section 3.1
    read = Calendar.from_ical(written)
    found = due(judged(van).van_file.system)
    events = read.walk("VEVENT")
    assert [event["dtstart"].dt for event in events] == [one.day for one in found]
    assert len({str(event["uid"]) for event in events}) == len(events)
    assert all(event["dtend"].dt - event["dtstart"].dt == timedelta(days=1) for event in events)
    alarms = read.walk("VALARM")
    assert [alarm["trigger"].dt for alarm in alarms] == [timedelta(days=-NOTICE_DAYS)] * len(found)
    shown = words(page(van, "service.md"))
    for event in events:
        day = event["dtstart"].dt
        assert f"{day.day} {day:%B} {day.year}" in shown


def test_the_calendar_depends_on_the_file_alone():
    found = judged("curlew")
    book = Book(found)
    once, again = calendar(book, due(book.system)), calendar(book, due(book.system))
    assert once == again
    stamp = Calendar.from_ical(once).walk("VEVENT")[0]["dtstamp"].dt
    assert stamp < datetime(2040, 1, 1, tzinfo=UTC)


NASTY = "Gull\r\nBEGIN:VALARM;X=1,\\n<script>\u202e"


def test_a_name_cannot_add_a_line_to_the_calendar():
    found = judged("wren")
    van = found.van_file.system.van.model_copy(update={"name": NASTY})
    system = found.van_file.system.model_copy(update={"van": van})
    found = with_system(found, system)
    book = Book(found)
    count = len(due(system))
    read = Calendar.from_ical(calendar(book, due(system)))
    assert len(read.walk("VEVENT")) == len(read.walk("VALARM")) == count
    assert "<script>" in str(read.walk("VEVENT")[0]["summary"])
