"""Nothing is silently missing on the lists: fuses with their status, cables that the file does not state."""

import csv
import io
from copy import deepcopy
from pathlib import Path

import pytest
import yaml

from tests.vans.small import SMALL
from vandoc.doors.build import read
from vandoc.judgement.checks import run
from vandoc.pages.manual import lists
from vandoc.pages.manual.book import Book

VANS = Path(__file__).parents[1] / "vans"


def records(van, name):
    text = lists.bench_files(Book(van))[f"lists/{name}.csv"].decode("utf-8-sig")
    return list(csv.DictReader(io.StringIO(text.replace("\N{NO-BREAK SPACE}", " "), newline="")))


@pytest.fixture
def changed(tmp_path):
    """The small van, changed as a mapping."""

    def written(change):
        file = yaml.safe_load(SMALL.read_text("utf-8"))
        change(file)
        (tmp_path / "van.yml").write_text(yaml.safe_dump(file, allow_unicode=True), "utf-8")
        return read(tmp_path / "van.yml")

    return written


def test_an_old_fitting_tells_which_fuses_are_unknown():
    """By hand from its file: two of its five fuses on the board have no known rating."""
    rows = records(read(VANS / "old_fitting/van.yml"), "parts")
    fuses = [(row["specification"], row["quantity"], row["status"]) for row in rows if row["status"]]
    assert fuses == [
        ("5 A", "1", "fitted"),
        ("10 A", "1", "fitted"),
        ("15 A", "1", "fitted"),
        ("unknown", "2", "unknown"),
        ("50 A", "1", "fitted"),
    ]


def test_a_proposed_fuse_is_calculated_and_stays_so_until_it_is_handed_over(changed):
    def left_open(file):
        del file["circuits"][0]["fuse"]["rating"]

    def written(file):
        file["circuits"][0]["fuse"]["calculated"] = True

    for change, wanted in ((left_open, True), (written, True), (lambda _: None, False)):
        van = changed(change)
        circuit = van.system.circuits[0].fuse
        rating = van.sizing.fuses[f"{circuit.board}.{circuit.position}"].rating_a
        found = {(row["specification"], row["status"]) for row in records(van, "parts") if row["status"]}
        assert ((f"{rating:g} A", "calculated") in found) is wanted


def switched(file):
    """Its first circuit in the older form, with a switch in another place than its load."""
    circuit = file["circuits"][0]
    file["places"]["far"] = {"label": "at the door", "at": {"back": "1 m", "across": "1 m"}}
    file["equipment"]["knob"] = {"kind": "switch", "name": "wall switch", "place": "far", "rating": "10 A"}
    circuit["switch"] = "knob"


def test_a_cable_that_the_file_does_not_state_has_its_row(changed):
    van = changed(switched)
    circuit = van.system.circuits[0]
    asked = [found.subject for found in run(van) if found.rule == "cable-not-stated"]
    assert asked == [circuit.id]
    for name in ("cutting", "laying"):
        rows = [row for row in records(van, name) if row["from"] == "knob.out"]
        assert [(row["cable"], row["to"], row["size"], row["laid"]) for row in rows] == [
            (f"{circuit.id} supply 2", f"{circuit.loads[0]}.+", "unknown", "unknown")
        ]
    (row,) = (row for row in records(van, "cutting") if row["from"] == "knob.out")
    assert (row["status"], row["cut"]) == ("unknown", "unknown")


def test_a_cable_to_a_further_load_has_a_row_for_each_core_unless_they_stand_side_by_side(changed):
    def further(place):
        def change(file):
            file["places"]["far"] = {"label": "at the door", "at": {"back": "1 m", "across": "1 m"}}
            first = file["loads"][file["circuits"][0]["load"]]
            spot = first["place"] if place is None else place
            file["loads"]["other"] = {"name": "other lamp", "place": spot, "current": "0.1 A"}
            file["circuits"][0]["load"] = [file["circuits"][0]["load"], "other"]

        return change

    rows = [row for row in records(changed(further("far")), "cutting") if "other" in row["from"] + row["to"]]
    load = changed(further("far")).system.circuits[0].loads[0]
    assert {(row["from"], row["to"]) for row in rows} == {(f"{load}.+", "other.+"), ("other.-", f"{load}.-")}
    assert not [
        row for row in records(changed(further(None)), "cutting") if "other" in row["from"] + row["to"]
    ]


def test_a_connector_is_counted_once_for_the_cables_that_meet_in_it(changed):
    def lamps(file):
        circuit, load = file["circuits"][0], file["circuits"][0]["load"]
        file["loads"][load]["termination"] = "butt connector"
        file["loads"]["other"] = {**deepcopy(file["loads"][load]), "name": "other lamp"}
        circuit["load"] = [load, "other"]
        circuit["cable"] = [
            {"length": "1 m", "area": "2.5 mm²"},
            {"length": "1 m", "area": "1.5 mm²"},
        ]

    rows = {row["name"]: row["quantity"] for row in records(changed(lamps), "parts") if "butt" in row["name"]}
    # Both leads of both lamps; at the first one the two cables meet in one, made for the larger.
    assert rows == {"butt connector, 2.5 mm²": "2", "butt connector, 1.5 mm²": "2"}
