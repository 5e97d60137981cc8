"""Labels as they come out of the printer: at true size, complete, and honest about what did not fit."""

import re
import subprocess
from functools import cache
from itertools import pairwise
from pathlib import Path

import pytest
import zxingcpp

from tests.manual.manuals import VANS
from tests.paper.books import book, book_of
from tests.paper.pdfs import assert_fit_for_everybody, filled, picture, program, reader, words
from tests.site.test_hard_vans import ARABIC, LONG, many_fuses, right_to_left, wren
from vandoc.pages.manual.book import Book
from vandoc.pages.manual.no_signal.code import card_address
from vandoc.pages.manual.no_signal.pocket import PRINT_MM, pockets
from vandoc.paper.labels import Labels, print_labels, sheets
from vandoc.paper.labels.content import labels
from vandoc.paper.labels.fitting import SMALLEST_PT

# Made with a ruler of another kind than ours: the sizes as they are sold, and the page they must fill. [mm]
SOLD = {"3x8": (70.0, 37.0), "2x7": (99.1, 38.1), "3x7": (63.5, 38.1), "5x13": (38.1, 21.2)}
TENTH = 0.1  # mm, how exact a label must be
# The benchmark `tests/benchmarks/labels_everywhere.py` takes every van on every sheet and tape.
WORDED = [
    *(("wren", name) for name in ("3x8", "3x7", "5x13", "tape-12", "tape-18", "tape-24")),
    ("curlew", "2x7"),
]
CODED = [("curlew", "2x7"), ("heron", "2x7"), ("wren", "3x8")]  # their page is the same on every sheet


@cache
def printed(van: str, sheet: str) -> Labels:
    return print_labels(book(van), sheets()[sheet])


def spoken(content: bytes, folder: Path) -> str:
    return " ".join(box.text for page in words(content, folder) for box in page)


@pytest.mark.parametrize("name", SOLD)
def test_labels_lie_within_the_sheet_and_do_not_overlap(name):
    sheet = sheets()[name]
    assert (sheet.label_width_mm, sheet.label_height_mm) == SOLD[name]
    spots = list(sheet.spots())
    assert len(spots) == sheet.columns * sheet.rows == len(set(spots))
    assert sheet.columns == 1 or sheet.pitch_x_mm >= sheet.label_width_mm
    assert sheet.pitch_y_mm >= sheet.label_height_mm
    left, top = spots[0]
    right, bottom = spots[-1][0] + sheet.label_width_mm, spots[-1][1] + sheet.label_height_mm
    assert left == pytest.approx(210 - right, abs=0.2)  # a sheet is as wide at one side as at the other
    assert top == pytest.approx(297 - bottom, abs=1.0)


def test_a_signal_wire_without_a_stated_colour_is_called_one():
    (here, there) = (label for label in labels(book("heron"), draft=False) if label.title == "ignition")
    assert all(label.lines[-1].text.endswith("mm², signal wire") for label in (here, there))


@pytest.mark.parametrize("name", SOLD)
def test_cut_marks_stand_at_the_corners_of_the_labels(name):
    sheet = sheets()[name]
    content = printed("wren", name).files["labels.pdf"]
    page = reader(content).pages[1]
    upright = {round(b.x + b.width / 2, 2) for b in filled(page) if b.width == pytest.approx(0.1, abs=0.02)}
    lying = {round(b.y + b.height / 2, 2) for b in filled(page) if b.height == pytest.approx(0.1, abs=0.02)}
    for x, y in sheet.spots():
        for edge in (x, x + SOLD[name][0]):
            if 0.1 < edge < 209.9:
                assert min(abs(mark - edge) for mark in upright) < TENTH
        for edge in (y, y + SOLD[name][1]):
            assert min(abs(mark - edge) for mark in lying) < TENTH


@pytest.mark.parametrize("name", ["3x8", "tape-12"])
def test_the_ruler_is_a_hundred_millimetres_long(name):
    made = printed("wren", name).files
    content = made.get(f"labels-{name}.pdf", made["labels.pdf"])
    page = reader(content).pages[0]
    boxes = filled(page)
    assert any(box.width == pytest.approx(100, abs=TENTH) and box.height < 1 for box in boxes)
    ticks = sorted({round(b.x + b.width / 2, 1) for b in boxes if b.width < 0.15 and b.height >= 1.9})
    steps = {round(b - a, 1) for a, b in pairwise(ticks)}
    assert ticks[-1] - ticks[0] == pytest.approx(100, abs=TENTH)
    assert steps == {1.0}


def test_the_ruler_measures_the_same_where_the_page_is_drawn(tmp_path):
    drawn = picture(printed("wren", "3x8").files["labels.pdf"], 1, tmp_path, dpi=600)
    assert drawn.width * 25.4 / 600 == pytest.approx(210, abs=TENTH)
    assert drawn.height * 25.4 / 600 == pytest.approx(297, abs=TENTH)
    row = round(95.1 * 600 / 25.4)
    dark = [x for x in range(drawn.width) if drawn.getpixel((x, row))[0] < 100]
    assert (dark[-1] - dark[0] + 1) * 25.4 / 600 == pytest.approx(100, abs=2 * TENTH)


@pytest.mark.parametrize(("van", "name"), WORDED)
def test_every_word_lies_on_its_own_label(van, name, tmp_path):
    assert_words_lie_on_labels(printed(van, name), name, tmp_path)


def assert_words_lie_on_labels(labels_made: Labels, name: str, folder: Path) -> None:
    sheet = sheets()[name]
    made = labels_made.files
    content = made.get(f"labels-{name}.pdf", made["labels.pdf"])
    found = reader(content)
    counted = 0
    codes = [
        number for number, page in enumerate(found.pages) if "QR codes to cut out" in page.extract_text()
    ]
    for number, page in enumerate(words(content, folder)):
        if sheet.tape:
            width, height = (float(side) * 25.4 / 72 for side in found.pages[number].mediabox[2:])
            boxes = [(0.0, 0.0, width, height)]
        elif 1 <= number < codes[0]:
            boxes = [(x, y, sheet.label_width_mm, sheet.label_height_mm) for x, y in sheet.spots()]
        else:
            continue
        for word in page:
            # The box of a word is as high as its font allows, letters are lower: only its sides count.
            inside = [b for b in boxes if b[0] < word.x and word.x + word.width < b[0] + b[2]]
            inside = [b for b in inside if b[1] <= word.y + word.height / 2 <= b[1] + b[3]]
            assert len(inside) == 1, (number, word)
            counted += 1
    assert counted > 300


@pytest.mark.parametrize("van", VANS)
def test_every_fuse_cable_end_battery_and_switch_has_its_label(van, tmp_path):
    found = book(van)
    said = spoken(printed(van, "2x7").files["labels.pdf"], tmp_path)
    flat = said.replace(" ", "")
    for fuse in found.network.fuses.values():
        if fuse.position is not None:
            served = found.served(fuse)
            rating = f"{found.sizing.fuses[fuse.id].rating_a:g}A"
            assert f"{fuse.position}{rating}{served[0]}".replace(" ", "") in flat
    for cable in found.network.conductors.values():
        if not cable.vehicle:
            assert f"here:{cable.start}to:{cable.end}" in flat
            assert f"here:{cable.end}to:{cable.start}" in flat
    for ident in found.leisure:
        assert found.name(ident) in said
    assert f"as of revision {found.revision_in_print}" in said


@pytest.mark.parametrize("van", VANS)
def test_every_label_carries_the_revision_from_which_it_is_valid(van):
    made = labels(book(van), draft=False)
    marks = {revision.mark for revision in book(van).revisions} | {book(van).revision_in_print}
    assert {label.foot for label in made} <= {
        f"revision {mark} · {book(van).system.van.name}" for mark in marks
    }
    assert all(label.foot.startswith("DRAFT") for label in labels(book(van), draft=True))


@pytest.mark.parametrize(("van", "name"), CODED)
def test_the_codes_are_read_from_the_printed_page(van, name, tmp_path):
    content = printed(van, name).files["labels.pdf"]
    pages = len(reader(content).pages)
    drawn = picture(content, pages - 1, tmp_path)
    read = zxingcpp.read_barcodes(drawn)
    wanted = {code.text for code in pockets(book(van)).codes}
    wanted.add(card_address(book(van).system.van.published, book(van).mark))
    assert {code.text for code in read} == wanted
    for code in read:
        corners = [code.position.top_left, code.position.top_right]
        width = abs(corners[1].x - corners[0].x) * 25.4 / 300
        assert 0.75 * PRINT_MM < width < PRINT_MM  # its quiet zone is inside the size


@pytest.mark.parametrize("name", ["3x8", "tape-18"])
def test_labels_are_accessible(name):
    for content in printed("wren", name).files.values():
        assert_fit_for_everybody(content)


def test_two_prints_are_the_same_and_know_no_clock(monkeypatch):
    monkeypatch.setenv("TZ", "Asia/Tokyo")
    assert print_labels(book("wren"), sheets()["3x8"]).files == printed("wren", "3x8").files


def _sizes(content: bytes) -> set[float]:
    raw = b"".join(page.get_contents().get_data() for page in reader(content).pages[1:-2])
    return {round(float(size) * 0.75, 2) for size in re.findall(rb"/\S+ ([\d.]+) Tf", raw)}


@pytest.mark.parametrize(("van", "name"), WORDED)
def test_no_words_are_smaller_than_stated(van, name):
    assert_words_can_be_read(printed(van, name))


def assert_words_can_be_read(labels_made: Labels) -> None:
    for content in labels_made.files.values():
        assert all(size >= SMALLEST_PT - 0.01 for size in _sizes(content))


def test_labels_of_120_fuses_with_long_names_show_each_or_report_it(tmp_path):
    hard: Book = book_of(many_fuses(), tmp_path)
    made = print_labels(hard, sheets()["3x8"])
    said = spoken(made.files["labels.pdf"], tmp_path)
    numbers = next(label for label in labels(hard, draft=False) if label.kind == "legend").lines
    assert len(numbers) == 120
    for number in (1, 60, 120):
        assert re.search(rf"(?<!\d){number} 5 A {number} ", said), number
    misfits = [notice for notice in made.notices if "does not fit" in notice]
    for notice in misfits:
        assert notice.split(":")[1].strip() in said
    assert any("contains characters missing" in notice for notice in made.notices)
    assert "circuit-120" in said.replace(" ", "")


def test_text_that_does_not_fit_is_reported_and_listed_in_full(tmp_path):
    data = wren()
    data["equipment"]["isolator"]["name"] = LONG[:60]
    data["equipment"]["isolator"]["place"] = next(iter(data["places"]))
    made = print_labels(book_of(data, tmp_path), sheets()["5x13"])
    misfits = [notice for notice in made.notices if "does not fit" in notice]
    assert misfits
    last = " ".join(box.text for box in words(made.files["labels.pdf"], tmp_path)[-1])
    last += " ".join(box.text for page in words(made.files["labels.pdf"], tmp_path)[-12:] for box in page)
    assert "…" in spoken(made.files["labels.pdf"], tmp_path)
    assert "does not fit at 6 pt" in last


def test_names_from_right_to_left_keep_their_order(tmp_path):
    made = print_labels(book_of(right_to_left(), tmp_path), sheets()["2x7"])
    (tmp_path / "labels.pdf").write_bytes(made.files["labels.pdf"])
    command = [program("pdftotext"), str(tmp_path / "labels.pdf"), "-"]
    said = subprocess.run(command, check=True, capture_output=True, text=True).stdout
    assert " ".join(ARABIC.split()[:3]) in said
    assert any("contains characters missing" in notice for notice in made.notices)
