"""Vans as a fitter first writes them: rounds of check and edit until nothing fails are counted."""

import json
from pathlib import Path

import pytest
from click.testing import CliRunner

from vandoc.analysis import Van
from vandoc.doors.cli import main
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


# A small AGM van: what `new` writes with these answers, and four lines more for one load.
ANSWERS = ("--chemistry", "AGM", "--capacity", "100", "--inverter", "no", "--name", "Dabchick")
FOUR_LINES = (
    (
        "loads:\n",
        "  fan: {name: roof fan, place: ceiling, current: 2 A, hours: {summer: 4 h, winter: 1 h}}\n",
    ),
    (
        "circuits:\n",
        "  - {id: fan, load: fan, return: minus-galley,\n"
        "     fuse: {board: board, position: 6},\n"
        "     cable: {length: 3 m}}\n",
    ),
)


def test_a_small_agm_van_is_new_and_four_lines(tmp_path):
    """Checked as a fitter would, with the command, before the four lines and after them."""
    run_ = CliRunner().invoke
    made = run_(main, ["new", str(tmp_path / "dabchick"), "--no-input", *ANSWERS])
    assert made.exit_code == 0, made.output
    path = tmp_path / "dabchick/van.yml"
    for added in (False, True):
        if added:
            text = path.read_text("utf-8")
            for before, lines in FOUR_LINES:
                assert text.count(f"\n{before}") == 1
                text = text.replace(f"\n{before}", f"\n{before}{lines}")
            path.write_text(text, "utf-8")
        checked = run_(main, ["check", str(path)])
        assert checked.exit_code == 0, checked.output  # nothing fails: no round of edits is needed
    assert sum(lines.count("\n") for _, lines in FOUR_LINES) == 4
    van = Van.of(load(path))
    assert van.system.leisure["house"].chemistry == "AGM"
    fuse, cable = van.sizing.fuses["board.6"], van.sizing.conductors["fan supply"]
    assert 2 <= fuse.rating_a <= cable.capacity_a


def test_the_rounds_of_the_first_van_are_those_of_the_command(tmp_path):
    """The command's own exit status and report after each round; at most two until nothing fails."""
    path = tmp_path / "van.yml"
    path.write_text(FILE.read_text("utf-8"), "utf-8")
    for edits in [[], *ROUNDS]:
        text = path.read_text("utf-8")
        for old, new in edits:
            text = text.replace(old, new)
        path.write_text(text, "utf-8")
        told = CliRunner().invoke(main, ["check", str(path), "--format", "json"])
        assert told.exit_code == 0, told.output
    (van,) = json.loads(told.output)["vans"]
    found = {one["rule"] for one in van["findings"] if one["severity"] != "note"}
    assert found <= ASKED_OF_PAPERS
