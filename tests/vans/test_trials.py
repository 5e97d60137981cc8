"""Vans as a fitter first writes them: rounds of check and edit until nothing fails are counted."""

from pathlib import Path

import pytest

from vandoc.analysis import Van
from vandoc.judgement.checks import run
from vandoc.judgement.proposals import proposals
from vandoc.pages.manual.book import Book
from vandoc.paper.labels.content import labels
from vandoc.reading.loader import load

FILE = Path(__file__).parent / "trials/compact.yml"
MOST_ROUNDS = 2
# What the first check asks, answered round by round: a text of the file, and what is written in its place.
ROUNDS = [
    [
        ("max_voc: 100 V, max_isc: 25 A,", "max_voc: 100 V, max_isc: 25 A, array_high: 290 W,"),
        ("max_voc: 75 V, max_isc: 15 A,", "max_voc: 75 V, max_isc: 15 A, array_high: 145 W,"),
    ]
]
ASKED_OF_PAPERS = {  # answered by records of the finished van, by evidence, or by a person
    "alarm-missing",
    "installation-not-recorded",
    "mains-not-recorded",
    "charge-below-need",
    "never-full",
    "breaking-capacity-unproven",
    "breaking-capacity-backed-up",
    "battery-fixing-weak",
    "charger-loses-battery",
    "controller-common-positive",
}


@pytest.fixture(scope="module")
def rounds(tmp_path_factory):
    """The van after each round, the first as it was written."""
    folder = tmp_path_factory.mktemp("trial")
    text, made = FILE.read_text("utf-8"), []
    for number, edits in enumerate([[], *ROUNDS]):
        for old, new in edits:
            assert text.count(old) == 1, old
            text = text.replace(old, new)
        path = folder / f"{number}.yml"
        path.write_text(text, "utf-8")
        made.append(Van.of(load(path)))
    return made


def test_nothing_fails_from_the_first_check_on(rounds):
    assert len(ROUNDS) <= MOST_ROUNDS
    for van in rounds:
        assert [f"{f.rule} {f.subject}" for f in run(van) if f.severity == "fail"] == []
    assert {f.rule for f in run(rounds[-1]) if f.severity == "review"} <= ASKED_OF_PAPERS


def test_parallel_batteries_get_equal_leads_and_the_alarm_a_thin_one(rounds):
    sizes = {item.subject: item.value for item in proposals(rounds[0]).items if item.what == "cable"}
    for one in ("plus", "out", "minus"):
        assert sizes[f"first-{one}"] == sizes[f"second-{one}"]
    assert sizes["alarm-in"] <= 1.5


def test_the_alarms_fuse_is_no_main_fuse(rounds):
    """Each battery has its own fuse, so that the one before the kitchen's fuse box takes its loads alone."""
    book = Book(rounds[0])
    assert [fuse.id for fuse in book.supply.fuses_of_everything] == ["main-board.2"]
    made = {label.title: [line.text for line in label.lines] for label in labels(book, draft=False)}
    assert "Fuse of this battery: 150\N{NO-BREAK SPACE}A" in made["first battery"]
    assert not [line for line in made["first battery"] if "2\N{NO-BREAK SPACE}A" in line]
