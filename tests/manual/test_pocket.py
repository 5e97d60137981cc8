"""Codes that need no network, read as a phone would see them: small, blurred, askew."""

from dataclasses import replace
from io import BytesIO
from typing import Any

import pytest
import segno
import zxingcpp
from PIL import Image, ImageFilter

from tests.manual.manuals import VANS, judged, manual
from vandoc.analysis import Van
from vandoc.model.wiring import Circuit
from vandoc.pages.manual.book import Book
from vandoc.pages.manual.no_signal.pocket import LARGEST_BYTES, MOST_CODES, PRINT_MM, QUIET_ZONE, pockets
from vandoc.pages.manual.text import WORDS

MODULE_MM = 0.6  # 3 pixels of a phone at 300 mm; common practice, no source
ARABIC = "مضخة الماء تحت المغسلة في المطبخ الصغير بجانب الباب الخلفي ٦٠"


def book_of(found: Van) -> Book:
    return Book(found)


def changed(van: str, **update: Any) -> Book:
    """The book of a van whose system is changed; judged no further than its sizes."""
    found = judged(van)
    system = found.system.model_copy(update=update)
    van_file = replace(found.van_file, system=system)
    return Book(Van(system, van_file))


def as_a_phone_sees_it(png: bytes) -> Image.Image:
    """A 50 mm print at 300 mm: 4.9 pixels to the millimetre, a little out of focus and askew."""
    side = round(PRINT_MM * 4.9)
    picture = Image.open(BytesIO(png)).convert("L").resize((side, side), Image.Resampling.LANCZOS)
    field = Image.new("L", (side + 120, side + 120), 200)
    field.paste(picture, (60, 60))
    return field.rotate(6, Image.Resampling.BICUBIC, fillcolor=200).filter(ImageFilter.GaussianBlur(0.6))


def lines_of(card: str) -> tuple[dict[str, str], list[str]]:
    """A vCard read by RFC 6350: lines end in CR LF, a text value escapes line ends, commas and semicolons."""
    assert card.endswith("END:VCARD\r\n")
    fields = dict(line.split(":", 1) for line in card.removesuffix("\r\n").split("\r\n"))
    note = fields["NOTE"].replace("\\n", "\n").replace("\\,", ",").replace("\\;", ";").replace("\\\\", "\\")
    return fields, note.split("\n")


def test_the_limit_is_that_of_the_standard_and_leaves_modules_wide_enough():
    symbol = segno.make("a" * LARGEST_BYTES, error="l", boost_error=False, micro=False, encoding="utf-8")
    assert symbol.version == 14
    assert PRINT_MM / symbol.symbol_size(border=QUIET_ZONE)[0] >= MODULE_MM
    larger = segno.make(
        "a" * (LARGEST_BYTES + 1), error="l", boost_error=False, micro=False, encoding="utf-8"
    )
    assert larger.version > 14


@pytest.mark.parametrize("van", VANS)
def test_each_code_reads_small_blurred_and_askew(van):
    book = book_of(judged(van))
    codes = pockets(book).codes
    assert 1 <= len(codes) <= MOST_CODES
    for number, code in enumerate(codes, 1):
        png = manual(van).files[f"assets/without-signal-{number}.png"]
        assert [found.text for found in zxingcpp.read_barcodes(as_a_phone_sees_it(png))] == [code.text]


@pytest.mark.parametrize("van", VANS)
def test_the_codes_hold_whom_to_call_the_switch_and_every_fuse(van):
    book = book_of(judged(van))
    made = pockets(book)
    assert made.left_out == ()
    said: list[str] = []
    for code in made.codes:
        fields, note = lines_of(code.text)
        assert fields["VERSION"] == "4.0"
        assert fields["TEL"] == book.system.workshop.phone
        assert fields["FN"] == book.system.workshop.name
        said += note
    assert any(line.startswith("Turn off: main battery switch") for line in said)
    for fuse in book.network.fuses.values():
        if fuse.position is not None:
            rating = f"{book.sizing.fuses[fuse.id].rating_a:g}A"
            assert any(line.startswith(f"{fuse.position} ") and line.endswith(rating) for line in said)


def many_fuses(count: int) -> Book:
    system = judged("wren").system
    pump = system.loads["pump"]
    board = system.equipment["board"].model_copy(update={"rows": 12, "columns": 10})
    loads = {f"load-{n}": pump.model_copy(update={"name": f"device number {n}"}) for n in range(1, count + 1)}
    loads["load-7"] = loads["load-7"].model_copy(update={"importance": "critical"})
    first = system.circuits[0]
    circuits: list[Circuit] = [
        first.model_copy(
            update={
                "id": f"circuit-{n}",
                "load": f"load-{n}",
                "fuse": first.fuse.model_copy(update={"position": n, "rating_a": 3.0}),
            }
        )
        for n in range(1, count + 1)
    ]
    return changed("wren", loads=loads, circuits=circuits, equipment={**system.equipment, "board": board})


def test_too_many_fuses_are_left_out_by_importance_and_named():
    book = many_fuses(120)
    made = pockets(book)
    assert len(made.codes) == MOST_CODES
    said = [line for code in made.codes for line in lines_of(code.text)[1]]
    shown = {n for n in range(1, 121) if f"{n} device number {n} 3A" in said}
    left = {n for n in range(1, 121) if f"fuse box: {n} device number {n} 3A" in made.left_out}
    assert shown | left == set(range(1, 121))
    assert not shown & left
    assert 7 in shown
    assert len(shown) > 30
    assert f"{len(left)} more: see the card" in said
    assert all(len(code.text.encode()) <= LARGEST_BYTES for code in made.codes)


@pytest.mark.parametrize("name", ["x" * 60, ARABIC[:60], "a\\b,c;d:e"])
def test_any_name_fits_or_is_named_as_left_out_and_reads_back(name):
    system = judged("wren").system
    loads = {key: load.model_copy(update={"name": name}) for key, load in system.loads.items()}
    places = {key: place.model_copy(update={"label": name}) for key, place in system.places.items()}
    switch = system.equipment["isolator"].model_copy(update={"name": name})
    shop = system.workshop.model_copy(update={"name": name})
    equipment = {**system.equipment, "isolator": switch}
    made = pockets(changed("wren", loads=loads, places=places, equipment=equipment, workshop=shop))
    for code in made.codes:
        stream = BytesIO()
        code.symbol.save(stream, kind="png", border=4, scale=6)
        assert [one.text for one in zxingcpp.read_barcodes(Image.open(stream).convert("L"))] == [code.text]
        assert name in lines_of(code.text)[0]["FN"].replace("\\,", ",").replace("\\;", ";").replace(
            "\\\\", "\\"
        )
    served = sum(1 for code in made.codes for line in lines_of(code.text)[1] if line.endswith("A"))
    assert served + sum(1 for line in made.left_out if line.endswith("A")) == len(
        [fuse for fuse in Van(system).network.fuses.values() if fuse.position is not None]
    )


def test_without_a_switch_the_code_says_so():
    system = judged("wren").system
    equipment = {key: piece for key, piece in system.equipment.items() if key != "isolator"}
    cables = [cable for cable in system.cables if "isolator" not in f"{cable.start}{cable.end}"]
    made = pockets(changed("wren", equipment=equipment, cables=cables))
    assert WORDS["pocket.no_switch"] in lines_of(made.codes[0].text)[1]
