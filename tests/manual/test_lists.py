"""The lists to work from: complete, countable by hand, and safe to open in a spreadsheet."""

import csv
import io
import re
from collections import Counter
from itertools import groupby, pairwise

import pytest

from tests.manual.manuals import VANS, judged, manual, page, words
from tests.manual.test_electrician_pages import table_rows
from tests.manual.test_hostile_text import rewritten
from vandoc.model import equipment as eq
from vandoc.pages.manual.lists.table import guarded
from vandoc.physics.network.graph import owner_of

NAMES = ("cutting", "laying", "reels", "lugs", "studs", "parts", "spares")


def read(files, name):
    text = files[f"lists/{name}.csv"].decode("utf-8-sig")
    return list(csv.reader(io.StringIO(text, newline=""), strict=True))


def records(files, name):
    """The rows of a list, each as a mapping by column."""
    head, *rows = read(files, name)
    return [dict(zip(head, row, strict=True)) for row in rows]


@pytest.mark.parametrize("van", VANS)
def test_every_cable_that_the_workshop_lays_is_cut_longer_than_it_is_laid(van):
    rows = records(manual(van).files, "cutting")
    laid = {c.id: c for c in judged(van).network.conductors.values() if not c.vehicle}
    assert sorted(row["cable"] for row in rows) == sorted(laid)
    for row in rows:
        assert float(row["laid"]) == pytest.approx(laid[row["cable"]].length_m)
        assert float(row["cut"]) >= 1.05 * float(row["laid"]) + 0.1 - 1e-9
        assert float(row["cut"]) - (1.05 * float(row["laid"]) + 0.1) < 0.05
        assert row["length_unit"] == "m"


@pytest.mark.parametrize("van", VANS)
def test_the_same_cables_are_cut_by_size_and_laid_by_place(van):
    cut, laid = (records(manual(van).files, name) for name in ("cutting", "laying"))
    assert sorted(row["cable"] for row in laid) == sorted(row["cable"] for row in cut)
    sizes = [float(row["size"]) for row in cut]
    assert sizes == sorted(sizes)
    for before, after in pairwise(cut):  # of one size and colour the longest comes first
        if [before[key] for key in ("size", "unit", "colour")] == [
            after[key] for key in ("size", "unit", "colour")
        ]:
            assert float(before["cut"]) >= float(after["cut"])
    places = [place for place, _ in groupby(row["from_place"] for row in laid)]
    assert len(places) == len(set(places))


@pytest.mark.parametrize("van", VANS)
def test_reels_and_lugs_add_up_to_the_cutting_list(van):
    files = manual(van).files
    pieces = records(files, "cutting")
    cut = Counter()
    for row in pieces:
        cut[row["size"], row["unit"], row["colour"]] += round(1000 * float(row["cut"]))
    reels = records(files, "reels")
    assert {(r["size"], r["unit"], r["colour"]): round(1000 * float(r["total"])) for r in reels} == cut
    rings = sum(row[end].startswith("ring terminal ") for row in pieces for end in ("from_end", "to_end"))
    assert rings == sum(int(row["quantity"]) for row in records(files, "lugs"))
    assert rings


@pytest.mark.parametrize("van", VANS)
def test_a_size_says_whether_it_is_fitted_or_calculated(van):
    sized = judged(van).sizing.conductors
    for row in records(manual(van).files, "cutting"):
        assert row["status"] == ("calculated" if sized[row["cable"]].proposed else "fitted")
        assert row["done"] == ""


@pytest.mark.parametrize("van", VANS)
def test_each_stud_without_a_size_is_asked_for_once(van):
    files, equipment = manual(van).files, judged(van).system.equipment
    asked = [row["terminal"] for row in records(files, "studs")]
    assert len(asked) == len(set(asked))
    assert all(equipment[owner_of(terminal)].stud is None for terminal in asked)
    ends = [(row[end], row[f"{end}_end"]) for row in records(files, "cutting") for end in ("from", "to")]
    assert set(asked) == {terminal for terminal, lug in ends if lug == "stud size not stated"}


@pytest.mark.parametrize("van", VANS)
def test_accessories_are_counted(van):
    """By hand from the cutting list: a sleeve on each lug, a grommet for each cable through metal."""
    files = manual(van).files
    pieces, parts = records(files, "cutting"), records(files, "parts")

    def bought(name):
        return sum(float(row["quantity"]) for row in parts if row["name"].startswith(name))

    assert bought("ring terminal") == sum(int(row["quantity"]) for row in records(files, "lugs"))
    assert bought("heat-shrink") == sum(
        bool(row[f"{end}_sleeve"]) for row in pieces for end in ("from", "to")
    )
    assert bought("rubber grommet") == sum(row["grommet"] == "grommet" for row in pieces)
    assert bought("cable label") == 2 * len(pieces)
    holders = {p.name for p in judged(van).system.equipment.values() if type(p) is eq.Fuse}
    assert holders == {row["name"] for row in parts if row["kind"] == "fuse holder"}


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
    rows = records(manual(van).files, "spares")
    fuses = judged(van).sizing.fuses
    equipment = judged(van).van_file.system.equipment
    assert sorted(fuse for row in rows for fuse in named(row["where"], equipment)) == sorted(fuses)
    for row in rows:
        assert {fuses[fuse].rating_a for fuse in named(row["where"], equipment)} == {float(row["rating_a"])}
        assert int(row["carry"]) == (2 if "blade" in row["kind"] else 1)


def test_a_stated_colour_is_the_supplys_and_the_usual_ones_stand_in_for_the_rest():
    rows = {row["cable"]: row for row in records(manual("curlew").files, "cutting")}
    network = judged("curlew").network
    for cable in network.conductors.values():
        if not (cable.vehicle or cable.signal):
            wanted = "black" if network.is_return(cable) else "red"
            assert rows[cable.id]["colour"] == (cable.colour or wanted)
    assert rows["ignition"]["colour"] == "not stated"


def test_a_lug_fits_the_stud_of_its_terminal():
    equipment = judged("curlew").system.equipment
    for row in records(manual("curlew").files, "cutting"):
        for end in ("from", "to"):
            piece = equipment.get(owner_of(row[end]))
            if row[f"{end}_end"].startswith("ring "):
                assert row[f"{end}_end"] == f"ring terminal {piece.stud}, {row['size']} {row['unit']}"


@pytest.mark.parametrize("van", VANS)
@pytest.mark.parametrize("name", ["cutting", "parts", "spares"])
def test_page_and_file_say_the_same(van, name):
    """A page shows the columns that have room on it; each cell that it shows is in the file."""
    shown = table_rows(page(van, f"electrician/{name}.md"))
    filed = [[" ".join(cell.split()) for cell in row] for row in read(manual(van).files, name)[1:]]
    assert len(shown) == len(filed)
    for cells, row in zip(shown, filed, strict=True):
        rest = iter(row)
        assert all(any(cell == one for one in rest) for cell in cells)


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
