"""One system of units on every page, label and list: that of the workshop."""

import csv
import io

import pytest

from tests.bench.units import SYSTEMS, foreign, put_beside
from tests.vans.small import put_into
from vandoc.doors.build import read, write_manual
from vandoc.ground.measures import US, in_house, measured, measuring_in
from vandoc.ground.messages import speaking
from vandoc.ground.units import number_in
from vandoc.judgement.checks import run
from vandoc.judgement.proposals import listed, proposals
from vandoc.pages.manual import lists
from vandoc.pages.manual.book import Book
from vandoc.paper.labels.content import labels
from vandoc.paper.labels.layout import ruler
from vandoc.paper.survey import WORDS, _grid

# One of each unit in the other system, to six digits: NIST SP 811 (2008), Appendix B.8; of a gauge ASTM B258.
NIST = {
    "m": 3.28084,
    "cm": 0.393701,
    "mm": 0.0393701,
    "cm²": 0.155000,
    "kg": 2.20462,
    "N": 0.224809,
    "N·m": 0.737562,
    "km": 0.621371,
    "mm²": 1.97353,
    "K": 1.8,
}
KIND = {"m": "length", "cm²": "opening", "kg": "mass", "N": "force", "N·m": "torque", "km": "distance"}


@pytest.fixture(scope="module")
def vans(tmp_path_factory):
    return {
        units: read(
            put_beside(put_into(tmp_path_factory.mktemp(units)), units), tmp_path_factory.getbasetemp()
        )
        for units in SYSTEMS
    }


@pytest.fixture(scope="module")
def files(vans):
    return {units: write_manual(van).files for units, van in vans.items()}


def rows(van):
    with van.speaking():
        text = lists.bench_files(Book(van))["lists/cutting.csv"].decode("utf-8-sig")
    return {row["cable"]: row for row in csv.DictReader(io.StringIO(text, newline=""))}


@pytest.mark.parametrize("units", SYSTEMS)
def test_no_page_drawing_or_file_of_the_manual_mixes_systems(units, files):
    assert [*foreign(files[units], units)] == []


@pytest.mark.parametrize("units", SYSTEMS)
def test_no_list_label_finding_or_proposal_mixes_systems(units, vans):
    van = vans[units]
    with van.speaking():
        said = {f"finding {n}": f"{one.message}\n{one.working}" for n, one in enumerate(run(van))}
        said["proposals"] = listed(proposals(van))
        for number, label in enumerate(labels(Book(van), draft=False)):
            said[f"label {number}"] = "\n".join([label.title, *(line.text for line in label.lines)])
        said |= lists.bench_files(Book(van))
    assert len(said) > 30
    assert [*foreign(said, units)] == []


def test_the_same_fact_stands_in_both(files):
    """The place of the battery is 40 °C at most in the file, 104 °F."""
    metric, other = (str(files[units]["electrician/places.md"]) for units in SYSTEMS)
    assert "| 40 |" in metric
    assert "| 104 |" in other
    assert "°F" in other


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


def test_cables_and_lugs_are_named_by_their_gauge(vans):
    for row in rows(vans["US"]).values():
        assert row["unit"] == "AWG"
        assert "mm" not in row["from_end"] + row["to_end"]


def test_factors_are_the_published_ones():
    with measuring_in("US"):
        for unit, factor in NIST.items():
            assert measured(1.0, unit)[0] == pytest.approx(factor, rel=3e-6), unit
        assert [measured(c, "°C") for c in (-40.0, 0.0, 100.0)] == [(-40, "°F"), (32, "°F"), (212, "°F")]


def test_what_is_shown_can_be_typed_in_again():
    with measuring_in("US"):
        for unit, kind in KIND.items():
            value, other = measured(7.0, unit)
            assert number_in(kind, f"{value:.9f} {other}") == pytest.approx(7.0, rel=1e-6)
        assert number_in("temperature", "104 °F") == pytest.approx(40.0)
        assert number_in("temperature", "-4 °F") == pytest.approx(-20.0)
        assert number_in("compensation", "-10 mV/°F") == pytest.approx(-18.0)


def test_words_keep_what_is_no_figure():
    with measuring_in("US"):
        for text in ("IEC 60269-4", "M8", "2 × 10 A", "5 m/s", "{count} m", "N·d"):
            assert in_house(text) == text
    assert in_house("below 45 °C") == "below 45 °C"
    assert in_house("par. 1-9 (0 °F, motive power)") == "par. 1-9 (−17.8 °C, motive power)"


def test_the_survey_sheet_and_the_ruler_follow():
    """An inch is exactly 25.4 mm."""
    with speaking(None, "US"):
        sheet, marks = str(WORDS.tree), ruler(0, 0, upright=False)
        grid = _grid()
    assert [*foreign({"sheet": sheet.replace("'", "\n")}, "US")] == []
    assert "Length [ft]" in sheet
    assert marks[0].width_mm == pytest.approx(4 * 25.4)
    assert len(marks) == 1 + 4 * 8 + 1
    assert grid["across"][1][0] == pytest.approx(2 * 304.8 / 35, abs=1e-3)
    assert set(US) >= {"°C", "m", "mm²"}
