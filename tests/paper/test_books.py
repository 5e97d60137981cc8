"""The bound manuals: every page of the web, tagged, with contents, references and drawings as on the web."""

import re
from functools import cache

import pytest
import yaml
from PIL import ImageStat
from pypdf import PdfReader

from tests.manual.manuals import manual, markdown_paths, page, words
from tests.paper.books import book, book_of
from tests.paper.pdfs import MM, assert_fit_for_everybody, picture, reader, tags, texts
from tests.site.test_hard_vans import right_to_left
from tests.vans.small import SMALL, put_into
from vandoc.doors.build import read
from vandoc.pages.manual.book import Book
from vandoc.pages.manual.pages import build_pages
from vandoc.pages.manual.text import WORDS
from vandoc.paper.books import BOOKS, print_book
from vandoc.paper.books.binding import TREES

VAN = "wren"
A3, A4, A5 = (420, 297), (210, 297), (148, 210)  # ISO 216 [mm]


@cache
def printed(which: str) -> bytes:
    return print_book(book(VAN), manual(VAN), which)


def of_book(which: str) -> list[str]:
    return [
        path
        for path in markdown_paths(manual(VAN))
        if path.startswith("electrician/") == (which == "electrician") and not path.startswith(TREES)
    ]


@cache
def opened(which: str) -> PdfReader:
    return reader(printed(which))


@cache
def outline(which: str) -> list[tuple[str, int]]:
    found = opened(which)

    def walk(items):
        for item in items:
            if isinstance(item, list):
                yield from walk(item)
            else:
                yield str(item["/Title"]), found.get_destination_page_number(item)

    return list(walk(found.outline))


@cache
def said_in(which: str) -> list[str]:
    return texts(printed(which))


def test_fault_finding_is_printed_as_numbered_steps():
    whole = " ".join(said_in("owner"))
    trees = [path for path in of_book("owner") if path.startswith("fault/")]
    assert len(trees) > 10
    for path in trees:
        sections = list(page(VAN, path).iter("section"))
        steps = {section.get("id").removeprefix("step-") for section in sections}
        for section in sections:
            assert words(section.find("h2")) in whole
            onward = [words(mark) for mark in section.iter("span") if mark.get("class") == "mark"]
            assert {said.removeprefix("go to ") for said in onward} <= steps
            assert all(said in whole for said in onward)


@pytest.mark.parametrize("which", BOOKS)
def test_books_are_accessible(which):
    content = printed(which)
    assert_fit_for_everybody(content)
    counts = tags(opened(which))
    assert counts["/H1"] == len(of_book(which)) + 1  # and the contents
    assert counts["/Figure"] > 5
    assert counts["/Table"] >= 1
    assert counts["/LI"] > 20


@pytest.mark.parametrize("which", BOOKS)
def test_every_page_of_the_manual_has_a_bookmark_that_leads_to_it(which):
    marks = outline(which)[1:]
    titles = [words(next(page(VAN, path).iter("h1"))) for path in of_book(which)]
    assert sorted(title for title, _ in marks) == sorted(titles)
    for title, number in marks:
        assert title.replace(" ", "")[:20] in said_in(which)[number].replace(" ", "")


@pytest.mark.parametrize("which", BOOKS)
def test_references_name_the_page_that_they_lead_to(which):
    found = opened(which)
    checked = 0
    for sheet in found.pages:
        for annotation in sheet.get("/Annots", []):
            link = annotation.get_object()
            action = link.get("/A", link).get("/D", link.get("/Dest"))
            if action is None:
                continue
            assert str(action) in found.named_destinations
            checked += 1
    assert checked > 50
    contents = " ".join(said_in(which)[1:3])
    for title, number in outline(which)[1:]:
        assert re.search(rf"(?<!\d){number + 1}(?!\d)", contents), title


def test_the_owners_book_is_a5_and_the_electricians_a4_with_a3_to_fold_out():
    def sizes(which):
        found = opened(which)
        return [tuple(round(float(side) * MM) for side in page.mediabox[2:]) for page in found.pages]

    assert set(sizes("owner")) == {A5}
    electrician = sizes("electrician")
    assert set(electrician) == {A4, A3}
    assert electrician[0] == A4


def test_the_number_of_pages_stays_sensible():
    assert 20 < len(opened("owner").pages) < 120
    assert 30 < len(opened("electrician").pages) < 130


@pytest.mark.parametrize("which", BOOKS)
def test_every_page_but_the_cover_says_number_and_revision(which):
    found = opened(which)
    revision = book(VAN).revision_in_print
    assert f"Revision {revision}" in said_in(which)[0]
    for number in range(1, len(found.pages)):
        shown = said_in(which)[number]
        assert re.search(rf"(?<!\d){number + 1}(?!\d)", shown)
        if number % 2 == 0:
            assert f"revision {revision}" in shown


def test_the_words_of_the_web_are_the_words_of_the_book():
    said = re.sub(r"\s|\(p\.\d+\)", "", "".join(said_in("owner")[3:]))
    for path in ("safe.md", "emergency.md", "battery.md"):
        for item in page(VAN, path).iter("h2"):
            assert re.sub(r"\s", "", words(item)) in said, words(item)
    for screen in ("Swipe", WORDS["frame.in_words"], "Type a word"):
        assert screen.replace(" ", "") not in said


def test_drawings_are_vectors_and_words_in_them_are_whole():
    found = opened("owner")
    images = [
        item.get_object()
        for sheet in found.pages
        for item in (sheet.get("/Resources", {}).get("/XObject") or {}).values()
        if item.get_object().get("/Subtype") == "/Image"
    ]
    assert len(images) <= 2  # photographs only
    start = next(n for title, n in outline("owner")[1:])
    said = "".join(said_in("owner")[start : start + 3]).replace(" ", "")
    assert "front" in said
    assert "passenger's" in said


def test_a_page_is_drawn_with_ink_on_it(tmp_path):
    drawn = picture(printed("owner"), 4, tmp_path, dpi=60)
    assert 200 < ImageStat.Stat(drawn.convert("L")).mean[0] < 254


def test_two_books_are_the_same(tmp_path, monkeypatch):
    """The owner's book of a small van; `tests/benchmarks/two_prints.py` prints both of every van twice."""
    van_file = put_into(tmp_path)

    def made() -> bytes:
        found = read(van_file)
        return print_book(Book(found), build_pages(found), "owner")

    first = made()
    monkeypatch.setenv("TZ", "Asia/Tokyo")
    monkeypatch.setenv("LC_ALL", "C")
    assert made() == first


def test_a_van_whose_names_run_from_right_to_left_is_bound_and_a_draft_says_so_on_every_page(tmp_path):
    small = yaml.safe_load(SMALL.read_text("utf-8"))
    hard = book_of(right_to_left(small), tmp_path)
    made = print_book(hard, build_pages(hard.van), "owner", draft=True)
    assert_fit_for_everybody(made)
    assert all("Draft" in shown for shown in texts(made))
    assert not any("Draft" in shown for shown in said_in("owner"))
