"""Each van says what it must, and nothing that it must not, on its pages, card, labels and in its books."""

from fnmatch import fnmatch
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest

from tests.chemistries.added import all_added
from tests.manual import manuals
from tests.says.said import Said, book_said, labels_said, matches, pages_said
from tests.says.table import Row, applies, broken, rows
from tests.says.traits import holds, traits
from tests.says.vans import SMALL, van_files
from vandoc.analysis import Van
from vandoc.doors.build import read, write_manual
from vandoc.pages.manual.pages import Pages

VANS = (*manuals.VANS, *SMALL)
BOUND = (
    "flooded-48",
    "lithium-alone",
    "nobody-knows",
)  # books take longest: one van of each family, with all that they can have
FEWEST_ROWS = 200


@pytest.fixture(scope="module", autouse=True)
def chemistries():
    """Those that small vans name and vandoc does not know."""
    with all_added():
        yield


@cache
def held(name: str) -> frozenset[str]:
    with TemporaryDirectory() as folder:
        return traits(van_files(Path(folder))[name])


@cache
def made(name: str) -> tuple[Van, Pages]:
    """A van with its manual."""
    if name in manuals.VANS:
        return manuals.judged(name), manuals.manual(name)
    with TemporaryDirectory() as folder:
        van = read(van_files(Path(folder))[name])
        return van, write_manual(van)


@cache
def said(name: str) -> Said:
    van, pages = made(name)
    return pages_said(pages) | labels_said(van)


@pytest.mark.parametrize("name", VANS)
def test_a_van_says_what_it_must_and_nothing_that_it_must_not(name):
    found = broken(held(name), said(name))
    assert [f"{place}: {'not ' if row.must else ''}said: {row.name}" for row, place in found] == []


@pytest.mark.parametrize("name", BOUND)
def test_a_book_says_what_its_pages_must(name):
    van, pages = made(name)
    for which in ("owner", "electrician"):
        chapters = book_said(van, pages, which)
        assert len(chapters) > 10
        assert [f"{path}: {row.name}" for row, path in broken(held(name), chapters)] == []


def test_every_row_is_tried_on_a_small_van():
    tried = {row for name in SMALL for row in rows() if applies(row, held(name), said(name))}
    assert len(rows()) > FEWEST_ROWS
    assert [row.name for row in rows() if row not in tried] == []


def test_every_trait_is_had_by_one_small_van_and_lacked_by_another():
    named = {trait.removeprefix("no ") for row in rows() for trait in row.when}
    for trait in named:
        assert {trait in held(name) for name in SMALL} == {True, False}, trait


def test_every_row_says_why_and_whence():
    assert [row.name for row in rows() if not (row.why and row.source)] == []


def without(told: Said, row: Row) -> Said:
    """The same places without the row's text."""
    telling = [matches(text) for text in row.text.split(" || ")]
    return {
        place: [block for block in found if not any(tells(block) for tells in telling)]
        for place, found in told.items()
        if any(fnmatch(place, pattern) for pattern in row.at)
    }


@pytest.mark.parametrize("name", BOUND)
def test_a_text_that_is_taken_away_is_missed(name):
    for row in rows():
        if row.must and holds(list(row.when), held(name)):
            spoilt = without(said(name), row)
            assert not spoilt or row in {found for found, _ in broken(held(name), spoilt)}
