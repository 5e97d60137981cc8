"""Lists in feet where the workshop file says so: never too short, and no page mixes units of length."""

import csv
import io
import re

import pytest

from tests.vans.small import put_into
from vandoc.doors.build import read, write_manual
from vandoc.pages.manual import lists
from vandoc.pages.manual.book import Book

WORKSHOP = "format: 2\nname: Reed Electrics (fictitious)\nphone: '+44 1632 960 961'\n{units}"


@pytest.fixture(scope="module")
def vans(tmp_path_factory):
    found = {}
    for units in ("metric", "US"):
        van_file = put_into(tmp_path_factory.mktemp(units))
        van_file.with_name("workshop.yml").write_text(WORKSHOP.format(units=f"units: {units}\n"), "utf-8")
        found[units] = read(van_file)
    return found


def rows(van):
    text = lists.bench_files(Book(van))["lists/cutting.csv"].decode("utf-8-sig")
    return {row["cable"]: row for row in csv.DictReader(io.StringIO(text, newline=""))}


def test_no_length_in_feet_is_shorter_than_in_metres(vans):
    """A foot is exactly 0.3048 m (international yard and pound agreement of 1959)."""
    metric, feet = rows(vans["metric"]), rows(vans["US"])
    assert metric
    assert metric.keys() == feet.keys()
    for cable, row in feet.items():
        assert (row["length_unit"], metric[cable]["length_unit"]) == ("ft", "m")
        for column, step in (("laid", 0.1), ("cut", 0.25)):
            over = float(row[column]) * 0.3048 - float(metric[cable][column])
            assert -1e-9 <= over < step * 0.3048


@pytest.mark.parametrize(
    ("units", "other"), [("US", r"\[m\]|\d\s?(mm|m)(?![²\w])"), ("metric", r"\[ft\]|\d\s?(ft|in)\b")]
)
def test_no_page_of_lists_mixes_units_of_length(units, other, vans):
    pages = write_manual(vans[units]).files
    text = str(pages["electrician/cutting.md"]).replace("\u00a0", " ")
    assert re.search(
        r"\[ft\]" if units == "US" else r"\[m\]", text.replace("&#91;", "[").replace("&#93;", "]")
    )
    assert not re.search(other, text.replace("&#91;", "[").replace("&#93;", "]"))
