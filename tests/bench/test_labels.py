"""Labels for all that has a place, in the owner's words; only what changed, on a part-used sheet."""

import pytest
import yaml
from click.testing import CliRunner

from tests.vans.small import put_into
from vandoc.doors.build import read
from vandoc.doors.cli import main
from vandoc.ground.errors import VandocError
from vandoc.pages.manual.book import Book
from vandoc.paper.labels import print_labels, sheets
from vandoc.paper.labels.content import labels
from vandoc.paper.labels.fitting import FOOT_PT, SMALLEST_PT, set_label
from vandoc.paper.labels.layout import pages_of


def run(*args):
    result = CliRunner().invoke(main, [str(arg) for arg in args])
    assert result.exit_code == 0, result.output


def changed(van_file, change):
    data = yaml.safe_load(van_file.read_text("utf-8"))
    change(data)
    van_file.write_text(yaml.safe_dump(data, allow_unicode=True, sort_keys=False), "utf-8")


@pytest.fixture
def handed_over(tmp_path):
    van_file = put_into(tmp_path)
    run("size", van_file, "--write")
    run("designate", van_file, "--write")
    run("revise", van_file, "--why", "handed over")
    return van_file


def said(label):
    return label.kind, label.title, label.lines


def test_everything_with_a_place_has_a_label_with_its_name(tmp_path):
    book = Book(read(put_into(tmp_path)))
    titles = {label.title for label in labels(book, draft=False) if label.kind != "cable"}
    fitted = {piece.name for piece in book.system.equipment.values() if not piece.of_vehicle()}
    assert fitted | {load.name for load in book.system.loads.values()} <= titles


def test_a_cables_label_says_what_it_is_for(handed_over):
    """The id of a cable is the workshop's word; the name of the device is the owner's."""
    book = Book(read(handed_over))
    made = [label for label in labels(book, draft=False) if label.kind == "cable"]
    for conductor in book.network.conductors.values():
        if conductor.circuit is None or conductor.vehicle:
            continue
        circuit = next(one for one in book.system.circuits if one.id == conductor.circuit)
        mine = [label for label in made if label.title.endswith(f"· {conductor.id}")]
        assert len(mine) == 2
        for label in mine:
            assert circuit.designation in label.title
            assert book.name(circuit.loads[0]) in " ".join(line.text for line in label.lines)


def test_no_print_is_smaller_than_six_points():
    assert min(SMALLEST_PT, FOOT_PT) == 6


@pytest.mark.parametrize("size", [(70, 37), (38.1, 21.2)])
def test_every_text_of_a_label_is_of_that_size_or_larger(size, tmp_path):
    for label in labels(Book(read(put_into(tmp_path))), draft=False):
        for made in set_label(label, *size, 2):
            assert min(text.size_pt for text in made.texts) >= 6


def test_only_what_changed_since_a_revision(handed_over):
    before = {said(label) for label in labels(Book(read(handed_over)), draft=False)}
    assert not labels(Book(read(handed_over)), draft=False, since="1")
    changed(handed_over, lambda data: data["loads"]["light"].update(name="lamp over the table"))
    book = Book(read(handed_over))
    now = {said(label) for label in labels(book, draft=False)}
    fresh = labels(book, draft=False, since="1")
    assert {said(label) for label in fresh} == now - before
    assert fresh
    named = [
        "lamp over the table" in " ".join([one.title, *(line.text for line in one.lines)]) for one in fresh
    ]
    assert all(named)
    assert all(f"revision {book.revision_in_print} ·" in label.foot for label in fresh)


def test_a_label_keeps_the_revision_from_which_it_is_valid(handed_over):
    changed(handed_over, lambda data: data["loads"]["light"].update(name="lamp over the table"))
    run("revise", handed_over, "--why", "renamed")
    book = Book(read(handed_over))
    first, second = (revision.mark for revision in book.revisions)
    for label in labels(book, draft=False):
        renamed = "lamp over the table" in " ".join([label.title, *(line.text for line in label.lines)])
        assert label.foot.startswith(f"revision {second if renamed else first} ·")


def test_a_revision_that_is_not_there_is_named_with_those_that_are(handed_over):
    with pytest.raises(VandocError, match=r"no archived revision 7; there is: 1-"):
        labels(Book(read(handed_over)), draft=False, since="7")


@pytest.mark.parametrize(("first", "pages"), [(1, 2), (24, 2), (3, 2), (25, None)])
def test_a_part_used_sheet_begins_at_its_first_free_label(first, pages, tmp_path):
    sheet, book = sheets()["3x8"], Book(read(put_into(tmp_path)))
    if pages is None:
        with pytest.raises(VandocError, match="has no label 25"):
            print_labels(book, sheet, first=first)
        return
    made = [one for label in labels(book, draft=False) for one in set_label(label, 70, 37, 3.5)]
    made = (made * 2)[:24]  # a sheet full
    placed, spots = pages_of(made, sheet, first), list(sheet.spots())
    assert [(one.x_mm, one.y_mm) for one in placed[0]] == spots[first - 1 :]
    assert sum(map(len, placed)) == 24
    if len(placed) > 1:
        assert (placed[1][0].x_mm, placed[1][0].y_mm) == spots[0]
