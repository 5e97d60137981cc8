"""A code of another revision than the manual that it leads to says so, and no other code does."""

import re

import pytest

from tests.conftest import ROOT

PAGES = ("card.html", "index.html")


@pytest.fixture(scope="module")
def mark(manuals):
    return re.search(r'data-revision="(\d+-[0-9a-f]{6})"', (manuals / "curlew/card.html").read_text("utf-8"))[
        1
    ]


def said(phone, manuals, page, asked):
    phone.goto(f"{(manuals / 'curlew' / page).as_uri()}{asked}")
    note = phone.locator(".revision-note")
    return note.inner_text() if note.is_visible() else ""


@pytest.mark.parametrize("page", PAGES)
def test_an_older_code_asks_for_a_new_label(phone, manuals, page, mark):
    text = said(phone, manuals, page, "?r=1-0a1b2c")
    assert text.startswith("This label is out of date. It is for revision 1-0a1b2c.")
    assert mark in text


@pytest.mark.parametrize("page", PAGES)
def test_an_older_copy_says_that_a_newer_manual_is_there(phone, manuals, page, mark):
    text = said(phone, manuals, page, "?r=12-0a1b2c")
    assert text.startswith(
        f"There is a newer manual. This copy is revision {mark}, but the code is for 12-0a1b2c."
    )


@pytest.mark.parametrize("page", PAGES)
def test_another_manual_of_the_same_number_is_recognised(phone, manuals, page, mark):
    number = mark.partition("-")[0]
    assert said(phone, manuals, page, f"?r={number}-000000").startswith(
        "This label belongs to another manual."
    )


@pytest.mark.parametrize(
    "asked", ["", "?r=", "?r=x", "?r=<b>1</b>", "?r=1-0a1b2c<b>", "?r=99999-0a1b2c", "?q=1"]
)
@pytest.mark.parametrize("page", PAGES)
def test_no_code_and_nonsense_say_nothing(phone, manuals, page, asked):
    assert said(phone, manuals, page, asked) == ""


def test_the_same_revision_says_nothing(phone, manuals, mark):
    assert said(phone, manuals, "card.html", f"?r={mark}") == ""


def test_without_scripts_nothing_is_said(browser, manuals):
    context = browser.new_context(java_script_enabled=False, viewport={"width": 360, "height": 640})
    page = context.new_page()
    assert said(page, manuals, "card.html", "?r=1-0a1b2c") == ""
    context.close()


@pytest.mark.parametrize("page", PAGES)
def test_a_real_older_code_says_what_changed_for_the_owner(phone, manuals, page):
    # Read from the archived files by hand: fuse 4 of the board was 10 A and is 15 A since revision 2.
    codes = dict(
        re.findall(
            r'data-code="(\d-[0-9a-f]{6})" hidden><strong>Changed since then:</strong> ([^<]*)<',
            (manuals / "curlew" / page).read_text("utf-8"),
        )
    )
    archived = sorted(str(int(path.stem)) for path in (ROOT / "sites/curlew/revisions").glob("*.yml"))
    assert sorted(code.partition("-")[0] for code in codes) == archived[:-1]
    for code in codes:
        text = said(phone, manuals, page, f"?r={code}")
        assert text.count("Changed since then:") == 1
        line = text.partition("Changed since then: ")[2].partition(" It is for")[0].replace("\u00a0", " ")
        assert len(line) < 130
        assert ("Fuse 4 of the under-seat fuse box is now 15 A, not 10 A" in line) == code.startswith("1")
        assert ("roof fan added" in line.lower()) == code.startswith(("1", "2"))
    assert "Changed since then" not in said(phone, manuals, page, "?r=1-0a1b2c")


@pytest.mark.parametrize("page", PAGES)
def test_the_note_stands_at_the_top(phone, manuals, page):
    said(phone, manuals, page, "?r=1-0a1b2c")
    box = phone.locator(".revision-note").bounding_box()
    assert box["y"] + box["height"] < 400
    assert phone.locator("h1").bounding_box()["y"] > box["y"]
