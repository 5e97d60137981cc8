"""The lists for the bench on paper: complete, with a box for each cable, and fit for everybody."""

from io import BytesIO

import pytest

from tests.bench.test_workshop_only import SECRETS, bought
from tests.paper.pdfs import assert_fit_for_everybody
from vandoc.doors.build import read
from vandoc.pages.manual.book import Book
from vandoc.paper.bench import print_bench

pypdf = pytest.importorskip("pypdf")


@pytest.fixture(scope="module")
def van(tmp_path_factory):
    return read(bought(tmp_path_factory.mktemp("paper"), maker="<b>&{{ 7*7 }}"))


@pytest.fixture(scope="module")
def printed(van):
    return print_bench(Book(van), draft=False)


def text_of(content):
    return " ".join(" ".join(page.extract_text() for page in pypdf.PdfReader(BytesIO(content)).pages).split())


def test_every_cable_and_what_was_bought_is_on_it(van, printed):
    text = text_of(printed)
    for conductor in van.network.conductors.values():
        assert conductor.vehicle or conductor.id in text
    assert SECRETS["serial"] in text
    assert "<b>&{{ 7*7 }}" in text


def test_it_is_accessible_and_the_same_each_time(van, printed):
    assert_fit_for_everybody(printed)
    assert print_bench(Book(van), draft=False) == printed


def test_a_draft_says_so(van):
    assert "Draft" in text_of(print_bench(Book(van), draft=True))
