"""The lists to work from: complete, countable by hand, and safe to open in a spreadsheet."""

import csv
import io
import re
from collections import Counter

import pytest

from tests.manual.manuals import VANS, judged, manual, page, words
from tests.manual.test_electrician_pages import table_rows
from tests.manual.test_hostile_text import rewritten
from vandoc.pages.manual.lists.table import guarded
from vandoc.physics.network.graph import owner_of

NAMES = ("cutting", "reels", "lugs", "parts", "spares")


def read(files, name):
    text = files[f"lists/{name}.csv"].decode("utf-8-sig")
    return list(csv.reader(io.StringIO(text, newline=""), strict=True))


@pytest.mark.parametrize("van", VANS)
def test_every_cable_that_the_workshop_lays_is_cut_longer_than_it_is_laid(van):
    rows = read(manual(van).files, "cutting")[1:]
    laid = {c.id: c for c in judged(van).network.conductors.values() if not c.vehicle}
    assert {row[0] for row in rows} == set(laid)
    for row in rows:
        assert float(row[3]) == pytest.approx(laid[row[0]].length_m)
        assert float(row[4]) >= 1.05 * float(row[3]) + 0.1 - 1e-9
        assert float(row[4]) - (1.05 * float(row[3]) + 0.1) < 0.05


@pytest.mark.parametrize("van", VANS)
def test_reels_and_lugs_add_up_to_the_cutting_list(van):
    files = manual(van).files
    pieces = read(files, "cutting")[1:]
    cut = Counter()
    for row in pieces:
        cut[row[1].removesuffix(" proposed"), row[2]] += round(1000 * float(row[4]))
    assert {(r[0], r[1]): round(1000 * float(r[3])) for r in read(files, "reels")[1:]} == cut
    rings = sum(cell.startswith("ring terminal ") for row in pieces for cell in (row[6], row[8]))
    assert rings == sum(int(row[2]) for row in read(files, "lugs")[1:])
    assert rings


def named(text, equipment):
    """The fuses that a cell names: `fuses 1 and 3 of the main fuse box; driving charger fuse`."""
    idents = {piece.name: ident for ident, piece in equipment.items()}
    for part in text.split("; "):
        position = re.fullmatch(r"fuses? (?P<numbers>.*\d) of the (?P<board>.*)", part)
        if position is None:
            yield idents[part]
        else:
            for number in re.findall(r"\d+", position["numbers"]):
                yield f"{idents[position['board']]}.{number}"


@pytest.mark.parametrize("van", VANS)
def test_every_fuse_is_once_in_the_list_of_spares(van):
    rows = read(manual(van).files, "spares")[1:]
    fuses = judged(van).sizing.fuses
    equipment = judged(van).van_file.system.equipment
    assert sorted(fuse for row in rows for fuse in named(row[5], equipment)) == sorted(fuses)
    for row in rows:
        assert {fuses[fuse].rating_a for fuse in named(row[5], equipment)} == {float(row[1])}
        assert int(row[4]) == (2 if "blade" in row[0] else 1)


def test_a_stated_colour_is_the_supplys_and_the_usual_ones_stand_in_for_the_rest():
    rows = {row[0]: row for row in read(manual("curlew").files, "cutting")}
    network = judged("curlew").network
    for cable in network.conductors.values():
        if not (cable.vehicle or cable.signal):
            wanted = "black" if network.is_return(cable) else "red"
            assert rows[cable.id][2] == (cable.colour or wanted)
    assert rows["ignition"][2] == "not stated"


def test_a_lug_fits_the_stud_of_its_terminal():
    equipment = judged("curlew").system.equipment
    for row in read(manual("curlew").files, "cutting")[1:]:
        for terminal, lug in ((row[5], row[6]), (row[7], row[8])):
            piece = equipment.get(owner_of(terminal))
            if lug.startswith("ring "):
                assert lug == f"ring terminal {piece.stud}"


@pytest.mark.parametrize("van", VANS)
@pytest.mark.parametrize("name", ["cutting", "parts", "spares"])
def test_page_and_file_say_the_same(van, name):
    shown = table_rows(page(van, f"electrician/{name}.md"))
    filed = [[" ".join(cell.split()) for cell in row] for row in read(manual(van).files, name)[1:]]
    assert shown == filed


def test_parts_of_the_base_vehicle_are_not_in_the_parts_list():
    names = words(page("curlew", "electrician/parts.md"))
    assert "leisure battery" in names
    assert "starter battery" not in names


@pytest.mark.parametrize("text", ["=1+1", "+1", "-1", "@x", "\t=1", "＝1", " =HYPERLINK(1)"])
def test_no_text_is_read_as_a_formula(text):
    assert guarded(text).startswith("'")


def test_hostile_text_stays_in_its_cell():
    tricks = ['=cmd|"/C calc"!A1', "a,b\r\nc", '"quoted"', "+44 1632", "@SUM(1)"]
    made, _ = rewritten("curlew", tricks)
    harmless = manual("curlew").files
    for name in NAMES:
        rows = read(made.files, name)
        assert len({len(row) for row in rows}) == 1
        assert len(rows) >= len(read(harmless, name))
        assert not any(cell[:1] in set("=+@-") for row in rows for cell in row)
