"""A van whose every text tries to become markup: print shows it as text, and asks nothing of anybody."""

from functools import cache

from tests.manual.manuals import judged, with_system
from tests.manual.test_hostile_text import Rewriter
from tests.manual.test_text import TRICKS
from tests.paper.pdfs import assert_fit_for_everybody, reader
from tests.vans.small import worded
from vandoc.doors.build import read
from vandoc.pages.manual.book import Book
from vandoc.pages.manual.no_signal.code import card_address
from vandoc.pages.manual.pages import build_pages
from vandoc.paper.books import print_book
from vandoc.paper.labels import print_labels, sheets

VAN = "wren"


@cache
def hostile() -> Book:
    found = judged(VAN)
    return Book(with_system(found, Rewriter(TRICKS).part(found.system)))


def addresses(content: bytes) -> set[str]:
    """Whatever a click in the document would open, pages of its own left out."""
    found = set()
    for page in reader(content).pages:
        for annotation in page.get("/Annots", []):
            action = annotation.get_object().get("/A", {})
            if action.get("/S") not in (None, "/GoTo"):
                found.add(str(action.get("/URI", action)))
    return found


def shown(content: bytes) -> str:
    return "".join("".join(page.extract_text().split()) for page in reader(content).pages)


def test_labels_show_hostile_names_as_they_are():
    for content in print_labels(hostile(), sheets()["2x7"]).files.values():
        assert_fit_for_everybody(content)
        assert addresses(content) == set()
        assert '"><imgsrc=xonerror=alert(1)>' in shown(content)


def test_books_show_hostile_names_as_they_are(tmp_path):
    """The book of a small van; the benchmark `tests/benchmarks/hostile_print.py` prints larger ones."""
    small = read(worded(tmp_path))
    book = Book(with_system(small, Rewriter(TRICKS).part(small.system)))
    pages = build_pages(book.van)
    content = print_book(book, pages, "owner")  # which refuses to fetch what it was not given
    assert_fit_for_everybody(content)
    known = card_address(book.system.van.published)
    assert all(one.startswith("tel:") or one == known for one in addresses(content))
    said = shown(content)
    markup = ["".join(trick.split()) for trick in TRICKS if len(trick) > 8]
    assert sum(trick in said for trick in markup) > len(markup) / 2
