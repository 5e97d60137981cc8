"""One more load in a handed-over van: what is fitted stays as it is, to the byte, on labels and lists."""

import shutil
from collections import Counter

import pytest
from click.testing import CliRunner

from tests.conftest import ROOT
from vandoc.doors.build import read
from vandoc.doors.cli import main
from vandoc.judgement.checks import run as findings
from vandoc.pages.manual import lists
from vandoc.pages.manual.book import Book
from vandoc.paper.labels.content import labels

LOAD = (
    "\nloads:\n  television: {name: television, place: panel, current: 1 A, "
    "hours: {summer: 1 h, winter: 1 h}}\n"
)
CIRCUIT = (
    "\ncircuits:\n  - {id: television, fuse: {board: board-24, position: 8, rating: 3 A}, load: television, "
    "cable: {length: 2 m, area: 1.5 mm²}, return: minus-panel}\n"
)
COUNTED = {"heat-shrink sleeve, lined with adhesive", "cable label", "ring terminal M8, 1.5 mm²"}


def run_command(*args):
    result = CliRunner().invoke(main, [str(arg) for arg in args])
    assert result.exit_code == 0, result.output


@pytest.fixture(scope="module")
def handed_over(tmp_path_factory):
    folder = tmp_path_factory.mktemp("sites")
    shutil.copytree(ROOT / "sites/parts", folder / "parts")
    (folder / "heron").mkdir()
    van_file = folder / "heron/van.yml"
    shutil.copy(ROOT / "sites/heron/van.yml", van_file)
    run_command("size", van_file, "--write")
    run_command("designate", van_file, "--write")
    run_command("revise", van_file, "--why", "handed over")
    return van_file


def changed(handed_over, *changes):
    """The van with texts of its file replaced; the file itself is as before."""
    before = handed_over.read_bytes()
    text = before.decode("utf-8")
    for old, new in changes:
        assert text.count(old) == 1, old
        text = text.replace(old, new)
    handed_over.write_text(text, "utf-8")
    try:
        return read(handed_over)
    finally:
        handed_over.write_bytes(before)


def with_television(handed_over):
    return changed(handed_over, ("\nloads:\n", LOAD), ("\ncircuits:\n", CIRCUIT))


def printed(van):
    return [(one.kind, one.title, one.lines, one.foot) for one in labels(Book(van), draft=False)]


def rows(van):
    files = lists.bench_files(Book(van))
    return {name: Counter(content.decode("utf-8-sig").splitlines()) for name, content in files.items()}


def test_only_labels_that_name_it_differ_and_the_rest_keep_their_revision(handed_over):
    old, new = read(handed_over), with_television(handed_over)
    before, after = printed(old), printed(new)
    gone = [one for one in before if one not in after]
    assert [(kind, title) for kind, title, _, _ in gone] == [("legend", "24 V fuse box · U2")]
    came = [one for one in after if one not in before]
    assert len(came) == 1 + 1 + 2 * 2  # its fuse box, itself, both ends of supply and return
    assert all(
        "television" in " ".join([title, *(line.text for line in lines)]) for _, title, lines, _ in came
    )


def test_only_rows_of_its_circuit_and_the_sums_that_count_it_differ(handed_over):
    old, new = rows(read(handed_over)), rows(with_television(handed_over))
    for name in ("lists/cutting.csv", "lists/laying.csv", "lists/studs.csv"):
        assert not old[name] - new[name], name
        assert all("television" in row for row in new[name] - old[name]), name
    for row in (old["lists/parts.csv"] - new["lists/parts.csv"]) + (
        new["lists/parts.csv"] - old["lists/parts.csv"]
    ):
        fields = row.replace('"', "")
        assert "television" in row or "U2-F8" in row or any(name in fields for name in COUNTED), row


def test_every_fitted_size_stays(handed_over):
    old, new = read(handed_over), with_television(handed_over)
    for ident, cable in old.sizing.conductors.items():
        assert new.sizing.conductors[ident].size == cable.size
        assert not new.sizing.conductors[ident].proposed
    for ident, fuse in old.sizing.fuses.items():
        assert new.sizing.fuses[ident].rating_a == fuse.rating_a


def test_a_finding_says_what_would_be_chosen_today(handed_over):
    """Nothing as long as nothing changed; a much longer cable would be larger."""
    told = {one.subject for one in findings(read(handed_over)) if one.rule == "size-chosen-otherwise"}
    assert told == set()
    longer = changed(handed_over, ("cable: {length: 3.6 m", "cable: {length: 90 m"))
    notes = {one.subject: one for one in findings(longer) if one.rule == "size-chosen-otherwise"}
    assert {"roof-fan"} <= set(notes) <= {"roof-fan", "feed-24"}  # they share what may be lost on the way
    assert notes["roof-fan"].severity == "note"
    assert "today" in notes["roof-fan"].message
