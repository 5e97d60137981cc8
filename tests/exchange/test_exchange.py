"""Loads, circuits and cables go to a table and come back; nothing is deleted, errors name row and column."""

import csv
import re
from io import StringIO
from pathlib import Path

import pytest
from click.testing import CliRunner
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.hostile import STRINGS
from tests.recording.vans import SMALL
from vandoc.doors.cli import main
from vandoc.doors.exchange import Style, as_csv, exported, merged, read_rows
from vandoc.ground.errors import SystemFileError
from vandoc.reading import editing
from vandoc.reading.loader import load

SITES = Path(__file__).parents[2] / "sites"


@pytest.fixture
def tern(tmp_path):
    path = tmp_path / "van.yml"
    path.write_text(SMALL, "utf-8")
    return path


def run(*args, status=0):
    done = CliRunner().invoke(main, [*map(str, args)])
    assert done.exit_code == status, done.output
    return done.output


def table_of(path):
    return as_csv(exported(editing.plain(editing.read(path))))


def imported(text, van, *options, status=0):
    table = van.with_name("table.csv")
    table.write_text(text, "utf-8")
    return run("import", table, van, *options, status=status)


@pytest.mark.parametrize("name", ["curlew", "heron", "wren"])
def test_export_import_export_gives_the_same_bytes(name, tmp_path):
    (tmp_path / "parts").symlink_to(SITES / "parts")
    (tmp_path / name).mkdir()
    path = tmp_path / name / "van.yml"
    for picture in (SITES / name).glob("*.png"):
        path.with_name(picture.name).write_bytes(picture.read_bytes())
    original = (SITES / name / "van.yml").read_bytes()
    path.write_bytes(original)
    run("export", path, "--out", tmp_path / "first.csv")
    assert "Nothing to change." in run("import", tmp_path / "first.csv", path)
    assert path.read_bytes() == original
    run("export", path, "--out", tmp_path / "second.csv")
    assert (tmp_path / "first.csv").read_bytes() == (tmp_path / "second.csv").read_bytes()


def test_a_table_of_a_whole_van_fills_an_emptied_one(tern):
    """All that a table states comes back: the same system from a file without its circuits and cables."""
    wanted = load(tern).system
    table = table_of(tern)
    text = tern.read_text("utf-8")
    tern.write_text(text[: text.index("cables:")], "utf-8")
    tern.with_name("table.csv").write_bytes(table)
    run("import", tern.with_name("table.csv"), tern)
    assert load(tern).system == wanted
    assert table_of(tern) == table


def test_what_changes_is_reported_and_nothing_else_of_the_file_moves(tern):
    before = tern.read_text("utf-8")
    told = imported("what,id,rating,length [m]\ncircuit,lamp,5 A,2.5\n", tern)
    after = tern.read_text("utf-8")
    assert "changed: circuit lamp, rating: 5 A (was 3 A)" in told
    assert "changed: circuit lamp, length: 2.5 m (was 2 m)" in told
    assert "kept: load lamp; the table lacks it" in told
    assert "kept: cable house.+ to board.in; the table lacks it" in told
    moved = [(a, b) for a, b in zip(before.splitlines(), after.splitlines(), strict=True) if a != b]
    assert [b.strip() for _, b in moved] == [
        "fuse: {board: board, position: 1, rating: 5 A}",
        "cable: {length: 2.5 m, area: 1 mm²}",
    ]
    assert tern.with_name("van.before-1.yml").read_text("utf-8") == before
    assert "# as bright as it gets" in after


def test_rows_are_added(tern):
    told = imported(
        "what,id,name,place,power,load,board,position,length,return,return_area,from,to\n"
        "load,fan,roof fan,box,12 W,,,,,,,,\n"
        "circuit,fan,,,,fan,board,2,3 m,house.-,4 mm²,,\n"
        "cable,spare,,,,,,,1 m,,,board.3,house.-\n",
        tern,
        status=0,
    )
    assert [line for line in told.splitlines() if line.startswith("added")] == [
        "added: load fan",
        "added: circuit fan",
        "added: cable spare",
    ]
    system = load(tern).system
    assert system.loads["fan"].power_w == 12
    assert system.circuits[1].fuse.position == 2
    assert (system.circuits[1].return_.to, system.circuits[1].return_.area_mm2) == ("house.-", 4)
    assert (system.cables[1].id, system.cables[1].start) == ("spare", "board.3")


def test_an_empty_cell_keeps_what_the_file_has(tern):
    told = imported("what,id,rating,area\ncircuit,lamp,,1.5 mm²\n", tern)
    assert "kept: circuit lamp, rating: 3 A; the table leaves it empty" in told
    assert load(tern).system.circuits[0].fuse.rating_a == 3


def test_a_dry_run_writes_nothing(tern):
    before = tern.read_bytes()
    told = imported("what,id,rating\ncircuit,lamp,5 A\n", tern, "--dry-run")
    assert tern.read_bytes() == before
    assert list(tern.parent.glob("*.before-*")) == []
    assert "+    fuse: {board: board, position: 1, rating: 5 A}" in told


def test_a_size_from_a_table_is_no_longer_calculated(tern):
    tern.write_text(SMALL.replace("rating: 3 A", "rating: 3 A, calculated: true"), "utf-8")
    imported("what,id,rating\ncircuit,lamp,5 A\n", tern)
    assert "calculated" not in tern.read_text("utf-8")


def test_a_decimal_comma_is_understood_when_asked_for_and_never_guessed(tern):
    text = 'what;id;length;area\ncircuit;lamp;"2,5 m";1,5 mm²\n'
    told = imported(text, tern, "--separator", ";", status=2)
    assert re.search(r"table\.csv:2:3: length:", told)
    assert re.search(r"table\.csv:2:4: area:", told)
    assert tern.read_text("utf-8") == SMALL
    imported(text, tern, "--separator", ";", "--decimal-comma")
    cable = load(tern).system.circuits[0].cable
    assert (cable.length_m, cable.area_mm2) == (2.5, 1.5)


WRONG = [
    ("what,id,colours\ncircuit,lamp,red\n", "1:3: 'colours' is not a heading"),
    ("id,rating\nlamp,5 A\n", "1:1: the heading 'what' is missing"),
    ("what,id,id\n", "1:3: the heading 'id' is there twice"),
    ("what,id\nlamp,lamp\n", "2:1: 'lamp' is none of load, circuit, segment, cable"),
    ("what,id,rating\ncircuit,,5 A\n", "2:2: the id of this circuit is missing"),
    ("what,id,rating\ncircuit,lamp,5 A\n\ncircuit,lamp,4 A\n", "4:2: 'lamp' is also in row 2"),
    ("what,id,rating\nload,lamp,5 A\n", "2:3: a load has no 'rating'"),
    ("what,id,rating\ncircuit,lamp,five\n", "2:3: rating:"),
    ("what,id,rating\ncircuit,lamp,5\n", "2:3: rating:"),
    ("what,id,place\nload,lamp,attic\n", "2:3: loads.lamp.place:"),
    ("what,id,board,position\ncircuit,lamp,board,9\n", "2:4: circuits[0].fuse.position:"),
    ("what,id,length\nsegment,lamp,1 m\n", "2:2: 'lamp' is not the id of a segment;"),
    ("what,id,length\nsegment,lamp 3,1 m\n", "2:2: the next segment of this circuit is number 2"),
    ("what,id,length\nsegment,lump 1,1 m\n", "2:2: there is no circuit 'lump';"),
    ("what,id,to,length\nsegment,lamp 1,fan,1 m\n", "2:3: circuits[0].cable[0].to: there is no switch,"),
]


@pytest.mark.parametrize(("text", "told"), WRONG, ids=[told for _, told in WRONG])
def test_errors_name_row_and_column_and_leave_the_file(text, told, tern):
    assert f"table.csv:{told}" in imported(text, tern, status=2)
    assert tern.read_text("utf-8") == SMALL
    assert list(tern.parent.glob("*.before-*")) == []


def test_all_errors_are_told_at_once(tern):
    told = imported("what,id,rating,length\ncircuit,lamp,many,long\ncircle,x,,\n", tern, status=2)
    assert [line.split(": ")[0].rpartition("/")[2] for line in told.splitlines()] == [
        "table.csv:2:3",
        "table.csv:2:4",
        "table.csv:3:1",
    ]


def test_what_is_no_table_is_told(tern):
    table = tern.with_name("table.csv")
    table.write_bytes(b"what,id\ncircuit,\xff\n")
    assert "table.csv:2:1: the table is not UTF-8" in run("import", table, tern, status=2)
    assert re.search(r"none\.csv:1:1: \S", run("import", tern.with_name("none.csv"), tern, status=2))


@pytest.mark.parametrize("text", STRINGS)
def test_no_cell_begins_a_formula_and_any_name_comes_back(text, tern):
    rows = [{"what": "load", "id": "lamp", "name": text}]
    stream = StringIO(newline="")
    writer = csv.DictWriter(stream, ["what", "id", "name"])
    writer.writeheader()
    writer.writerows(rows)
    try:
        draft = merged(editing.read(tern), read_rows(stream.getvalue().encode(), "t.csv", Style())).draft
        load(tern, text=draft.text)
    except SystemFileError:
        return  # such a name is refused everywhere
    content = as_csv(exported(editing.plain(draft)))
    for line in csv.reader(StringIO(content.decode("utf-8-sig"), newline="")):
        assert not any(cell.lstrip().startswith(tuple("=+-@\t\r")) for cell in line)
    again = merged(draft, read_rows(content, "t.csv", Style()))
    assert again.draft is draft
    assert (again.changes, again.added, again.kept, again.missing) == ((), (), (), ())


def test_segments_are_rows_of_their_own(tern):
    told = imported("what,id,length,area\nsegment,lamp 1,1.5 m,\n", tern)
    assert "added: segment lamp 1" in told
    assert "    cable: [{length: 1.5 m, area: 1 mm²}]\n" in tern.read_text("utf-8")
    table = (
        "what,id,place,name,current,to,length,area,return_area,load\n"
        "load,fan,box,fan,1 A,,,,,\n"
        "circuit,lamp,,,,,,,,lamp; fan\n"
        "segment,lamp 2,,,,fan,0.5 m,1 mm²,1.5 mm²,\n"
    )
    imported(table, tern)
    rows = exported(editing.plain(editing.read(tern)))
    assert {row.name: row.cells for row in rows if row.what == "segment"} == {
        "lamp 1": {"length": "1.5 m", "area": "1 mm²"},
        "lamp 2": {"to": "fan", "length": "0.5 m", "area": "1 mm²", "return_area": "1.5 mm²"},
    }
    run("export", tern, "--out", tern.with_name("first.csv"))
    assert "Nothing to change." in run("import", tern.with_name("first.csv"), tern)


@settings(max_examples=200, deadline=None)
@given(st.lists(st.lists(st.text(max_size=12), max_size=8), max_size=6), st.sampled_from([",", ";", "\t"]))
def test_any_table_is_read_or_refused_with_a_place(lines, separator):
    stream = StringIO(newline="")
    csv.writer(stream, delimiter=separator).writerows([["what", "id", "rating", "load"], *lines])
    content = stream.getvalue().encode("utf-8", "surrogatepass")
    told = ""
    try:
        rows = read_rows(content, "t.csv", Style(separator))
    except SystemFileError as error:
        rows, told = [], str(error)
    assert all(re.match(r"t\.csv:\d+:\d+: ", line) for line in told.splitlines())
    assert len({(row.what, row.name) for row in rows}) == len(rows)
