"""Days that pass: the phone's clock says what is overdue and since when; without a script they just stand."""

from datetime import date

import pytest


@pytest.fixture(scope="module")
def days(manuals):
    """The days of the service page, by what they are of."""
    import html5lib

    tree = html5lib.parse((manuals / "curlew/service.html").read_text("utf-8"), namespaceHTMLElements=False)
    return [(date.fromisoformat(e.get("datetime")), e.text) for e in tree.iter("time")]


def shown(browser, manuals, now, zone="Europe/London", page="service.html", scripts=True):
    context = browser.new_context(
        viewport={"width": 360, "height": 640}, timezone_id=zone, java_script_enabled=scripts
    )
    opened = context.new_page()
    if scripts:
        opened.clock.set_fixed_time(now)
    opened.goto((manuals / "curlew" / page).as_uri())
    found = [one.inner_text() for one in opened.locator("time.due").all() if one.is_visible()]
    context.close()
    return found


def months(day):
    return day.strftime("%B"), day.strftime("%B %Y")


def test_before_the_first_day_nothing_is_overdue(browser, manuals, days):
    first = min(day for day, _ in days)
    assert shown(browser, manuals, f"{first}T12:00:00") == [text for _, text in days]


@pytest.mark.parametrize("zone", ["Europe/London", "Pacific/Auckland", "Pacific/Honolulu"])
def test_the_day_itself_is_not_late_and_the_next_is(browser, manuals, days, zone):
    from datetime import datetime, timedelta
    from zoneinfo import ZoneInfo

    first = min(day for day, _ in days)
    for later, late in ((timedelta(hours=23, minutes=50), False), (timedelta(hours=24, minutes=10), True)):
        now = datetime(first.year, first.month, first.day, tzinfo=ZoneInfo(zone)) + later
        texts = shown(browser, manuals, now, zone)
        assert any("overdue" in text for text in texts) == late
        if late:
            due = [text for (day, _), text in zip(days, texts, strict=True) if day == first]
            assert all(text.endswith(f"overdue since {months(first)[0]}") for text in due)


def test_years_later_the_year_is_told(browser, manuals, days):
    last = max(day for day, _ in days)
    texts = shown(browser, manuals, f"{last.year + 2}-12-31T12:00:00")
    for (day, plain), text in zip(days, texts, strict=True):
        assert " ".join(text.split()) == f"{plain} overdue since {months(day)[1]}"


def test_without_script_the_plain_days_stand(browser, manuals, days):
    assert shown(browser, manuals, None, scripts=False) == [text for _, text in days]


def test_the_start_page_speaks_of_what_has_passed_and_of_nothing_else(browser, manuals, days):
    first = min(day for day, _ in days)
    assert shown(browser, manuals, f"{first}T12:00:00", page="index.html") == []
    assert shown(browser, manuals, "2050-01-01T12:00:00", page="index.html")
    assert shown(browser, manuals, None, page="index.html", scripts=False) == []
