"""An old fitting with most sizes unknown: checked, documented, measured bit by bit, and never guessed."""

import json
import re
import shutil
from dataclasses import replace
from io import BytesIO
from pathlib import Path

import pytest
import yaml
from click.testing import CliRunner
from pypdf import PdfReader

from tests.vans.small import SMALL
from vandoc.analysis.unknown import supposing
from vandoc.analysis.van import PHRASES
from vandoc.doors.build import print_paper, read, write_manual
from vandoc.doors.cli import main
from vandoc.ground.unknown import NoNumber, cannot_tell
from vandoc.judgement.checks import run
from vandoc.judgement.proposals import proposals
from vandoc.judgement.remedy import fails, stopping
from vandoc.model.unknowns import with_values
from vandoc.pages.manual.book import Book
from vandoc.pages.manual.no_signal.pocket import pockets
from vandoc.paper.bench import print_bench
from vandoc.paper.labels.content import labels
from vandoc.paper.printing import LabelOptions

HERE = Path(__file__).with_name("old_fitting")


@pytest.fixture
def van_file(tmp_path):
    shutil.copytree(HERE, tmp_path / "godwit")
    return tmp_path / "godwit/van.yml"


@pytest.fixture(scope="module")
def old():
    return read(HERE / "van.yml")


@pytest.fixture(scope="module")
def pages(old):
    return write_manual(old).files


def changed(van_file, *changes):
    text = van_file.read_text("utf-8")
    for before, after in changes:
        assert text.count(before) == 1, before
        text = text.replace(before, after)
    van_file.write_text(text, "utf-8")
    return read(van_file)


def test_every_unknown_value_is_asked_for_once(old):
    text = (HERE / "van.yml").read_text("utf-8")
    stated = len(re.findall(r": unknown\b", text)) + len(re.findall(r"kind: (?:unidentified|unseen)", text))
    assert len(old.unknown) == stated
    asked = [found for found in run(old) if found.rule == "value-unknown"]
    assert len(asked) == stated
    assert all(found.message.startswith("Cannot check") and found.severity == "review" for found in asked)


def test_results_that_need_an_unknown_value_are_absent(old):
    drops, conductors = old.sizing.drops, old.sizing.conductors
    assert all(cannot_tell(drops[owner].percent) for owner in ("pump", "fridge", "lamp"))  # behind 'feed'
    assert cannot_tell(conductors["pump supply"].area_mm2)
    assert cannot_tell(old.network.conductors["fridge supply"].length_m)
    assert all(cannot_tell(amps) for amps in old.faults.at_fuse_a.values())


def test_results_that_need_none_are_there(old):
    """The light's 10 W at 12 V by hand; its cable is known."""
    supply = old.sizing.conductors["lamp supply"]
    assert supply.design_a == pytest.approx(10 / 12)
    assert (supply.area_mm2, supply.conductor.length_m) == (1.5, 2.0)


def test_nothing_is_proposed_for_what_is_fitted(old):
    assert proposals(old).items == ()


def inside_the_ends():
    """Other values of the same kinds, none of them equal to one that is used."""
    other = {}
    for quantity, ends in supposing.ENDS.items():
        part = 1.07 if quantity in ("length", "current", "power", "capacity") else 1.0
        other[quantity] = tuple(tuple(part * value for value in reversed(end)) for end in ends)
    return other


def test_no_page_depends_on_a_value_that_was_only_supposed(pages, monkeypatch):
    """Other supposed values, and every figure of the manual is the same to the byte.

    The findings list what might fail, and the fault trees what might be the cause: both are read from the
    range of what is possible, which is another one here.
    """
    monkeypatch.setattr(supposing, "ENDS", inside_the_ends())
    other = write_manual(read(HERE / "van.yml")).files
    assert set(other) == set(pages)
    differ = {path for path in pages if pages[path] != other[path] and "fault/" not in path}
    assert differ <= {"electrician/findings.md"}


def test_no_figure_is_not_a_number_and_nothing_supposed_is_named(pages):
    for path, content in pages.items():
        if isinstance(content, str):
            assert not re.search(r"\bnan\b|beyond-|cannot_tell", content), path


def test_every_result_of_the_true_van_is_possible(old):
    """A van in which all is known, within the ends: each figure that is told is that of this van too."""
    values = {
        "length": 2.0,
        "area": 6.0,
        "insulation": 90.0,
        "rating": 40.0,
        "current": 4.0,
        "capacity": 90.0,
    }
    known = {one.trail: values[one.quantity] for one in old.unknown if one.quantity in values}
    known |= {one.trail: "SF30" for one in old.unknown if one.quantity == "family"}
    known |= {one.trail: [] for one in old.unknown if one.quantity == "through"}
    true = replace(old, stated=with_values(old.stated, known), is_supposed=True)
    for ident, told in old.sizing.conductors.items():
        if not cannot_tell(told.design_a):
            assert true.sizing.conductors[ident].design_a == pytest.approx(told.design_a, abs=1e-6)
    for ident, told in old.sizing.drops.items():
        if not cannot_tell(told.percent):
            assert true.sizing.drops[ident].percent == pytest.approx(told.percent)


def test_a_fail_that_is_there_whatever_the_values_is_told_and_acknowledged(old):
    (failed,) = fails(old)
    assert (failed.rule, failed.subject) == ("no-fuse", "charger-plus")  # 0.6 m without a fuse at the battery
    assert failed.acknowledged.by == "A. Reed (fictitious)"
    assert stopping(old) == ()


def test_without_a_word_that_it_is_documented_it_is_not_published(van_file, tmp_path):
    text = van_file.read_text("utf-8")
    van_file.write_text(re.sub(r"documented:\n(?:  .*\n)+", "", text), "utf-8")
    assert {found.rule for found in stopping(read(van_file))} == {"no-fuse", "unknown-not-documented"}
    made = CliRunner().invoke(main, ["build", str(van_file), "--out", str(tmp_path / "out")])
    assert made.exit_code == 1
    assert not (tmp_path / "out/godwit/index.html").exists()


def test_an_acknowledgement_is_void_when_a_value_changes(van_file):
    van = changed(van_file, ("to: house.+, length: 0.6 m", "to: house.+, length: 1.4 m"))
    assert [found.rule for found in stopping(van)] == ["no-fuse"]
    (void,) = (found for found in run(van) if found.rule == "acknowledgement-void")
    assert "0.6 m" in void.message
    assert "1.4 m" in void.message


def test_an_acknowledgement_of_nothing_is_told(van_file):
    van = changed(van_file, ("subject: charger-plus", "subject: charger-minus"))
    assert {found.rule for found in run(van)} >= {"acknowledgement-not-needed"}
    assert [found.rule for found in stopping(van)] == ["no-fuse"]


def test_an_acknowledgement_does_not_make_a_check_pass(van_file):
    found = CliRunner().invoke(main, ["check", str(van_file)])
    assert found.exit_code == 1
    assert "known to A. Reed (fictitious) since 2026-05-02; keep off until it is put right" in found.output


def test_a_fail_of_a_van_that_is_not_documented_takes_no_acknowledgement(van_file):
    text = van_file.read_text("utf-8").replace("documented:", "reviewed: []\ndocumented:")
    assert fails(read(van_file))[0].accepts
    van_file.write_text(re.sub(r"documented:\n(?:  .*\n)+", "", text), "utf-8")
    assert {found.accepts for found in fails(read(van_file))} == {""}


def test_the_first_screens_say_what_stays_off(pages):
    start, first = str(pages["index.md"]), str(pages["electrician/index.md"])
    assert "do not plug it in" in start
    assert start.index("do not plug it in") < start.index('class="doors"')
    assert "do not plug it in" in first
    assert "A. Reed" in first
    assert "measure.html" in first


def test_the_sheet_lists_every_unknown_value(old, pages):
    sheet = str(pages["electrician/measure.md"])
    assert len(re.findall(r"\| \d+ ☐ \|", sheet)) == len(old.unknown)


def test_the_sheet_is_printed_with_a_line_for_each_value(old):
    pytest.importorskip("weasyprint")
    printed = print_paper(old, ["measuring"], LabelOptions()).files["measuring.pdf"]
    text = " ".join(page.extract_text() for page in PdfReader(BytesIO(printed)).pages)
    assert "fused leads" in text
    assert "<div" not in text
    for one in old.unknown:
        assert PHRASES.say(f"unknown-{one.quantity}") in text
    assert str(len(old.unknown)) in text


def test_an_unknown_chemistry_has_every_caution_no_settings_and_the_way_to_stop_the_engine(pages):
    battery = str(pages["battery.md"])
    for caution in ("hydrogen", "sulphuric acid", "can freeze", "below freezing", "swollen"):
        assert caution in battery
    assert "Stop the engine" in battery
    assert "Unplug the hook-up" in battery
    assert not re.search(r"\d V at rest|absorption", battery)


def test_recording_some_values_makes_them_go(van_file):
    before = van_file.read_text("utf-8")
    answers = "55\nflooded\n\nSF30\nnonsense\nstop\n"
    made = CliRunner().invoke(main, ["record", str(van_file), "--unknown"], input=answers)
    assert made.exit_code == 0, made.output
    assert "3 saved" in made.output
    assert "Error" in made.output
    after = van_file.read_text("utf-8")
    lines = [(a, b) for a, b in zip(before.splitlines(), after.splitlines(), strict=True) if a != b]
    assert len(lines) == 3
    assert after.startswith("# A fictitious old van")
    known = read(van_file)
    assert len(known.unknown) == len(read(HERE / "van.yml").unknown) - 3
    assert known.stated.equipment["relay"].rating_a == 55.0
    asked = {(f.rule, f.subject) for f in run(known)}
    assert ("value-unknown", "relay") not in asked
    assert ("value-unknown", "isolator") in asked


def test_values_can_be_entered_until_none_is_unknown(van_file):
    """Every value that can be measured, then the two items by hand: a van like any other."""
    answer = {
        "Length": "2",
        "Size": "16",
        "Temperature": "105",
        "Type": "SF30",
        "Rating": "60",
        "Current": "4",
        "Capacity": "90",
        "Chemistry": "AGM",
        "Names": "seat",
    }
    van = read(van_file)
    words = {"area": "Size", "insulation": "Temperature", "family": "Type", "through": "Names"}
    keys = [words.get(one.quantity, one.quantity.capitalize()) for one in van.unknown]
    given = "".join(f"{answer[key]}\n" for key in keys if key in answer)
    made = CliRunner().invoke(main, ["record", str(van_file), "--unknown"], input=given)
    assert made.exit_code == 0, made.output
    assert {one.quantity for one in read(van_file).unknown} == {"unidentified", "unseen"}
    plain = yaml.safe_load(van_file.read_text("utf-8"))
    for name in ("grey-box", "lost-end"):
        del plain["equipment"][name]
    plain["cables"] = [
        one for one in plain["cables"] if one["id"] not in ("grey-feed", "grey-on", "red-cable")
    ]
    van_file.write_text(yaml.safe_dump(plain, allow_unicode=True), "utf-8")
    known = read(van_file)
    assert known.unknown == ()
    assert known.supposed == ()
    assert not any(isinstance(drop.percent, NoNumber) for drop in known.sizing.drops.values())
    assert {"value-unknown", "cannot-tell"}.isdisjoint(found.rule for found in run(known))


def test_the_report_for_machines_carries_what_is_unknown(van_file):
    made = CliRunner().invoke(main, ["check", str(van_file), "--format", "json"])
    (entry,) = json.loads(made.output)["vans"]
    assert {"key": "circuits[2].cable.length", "subject": "fridge", "quantity": "length"} in entry["unknown"]
    sizes = CliRunner().invoke(main, ["size", str(van_file), "--format", "json"])
    assert json.loads(sizes.output)


def test_card_pocket_codes_and_labels_say_that_it_was_documented_as_found(old, pages):
    card = str(pages["card.html"])
    assert "documented as it was found" in card
    assert card.index("do not plug it in") < card.index('id="emergency"')
    book = Book(old)
    assert all("Documented as found" in " ".join(code.lines) for code in pockets(book).codes)
    made = labels(book, draft=False)
    assert made
    assert all(label.foot.startswith("AS FOUND") for label in made)
    pytest.importorskip("weasyprint")
    printed = print_bench(book, draft=False)
    assert "Documented as found" in PdfReader(BytesIO(printed)).pages[0].extract_text()


def test_nothing_says_so_of_a_van_that_was_designed():
    book = Book(read(SMALL))
    assert not any(label.foot.startswith("AS FOUND") for label in labels(book, draft=False))
    assert "Documented" not in " ".join(line for code in pockets(book).codes for line in code.lines)
    assert "documented as it was found" not in str(write_manual(read(SMALL)).files["card.html"])


def test_a_part_sheet_may_hold_unknown_values(van_file):
    """What the sheet does not know is asked of the van like what its own file does not know."""
    (van_file.parent / "old-relay.yml").write_text(
        "kind: relay\npurpose: split-charge\nrating: unknown\n", "utf-8"
    )
    stated = "kind: relay, name: split-charge relay, purpose: split-charge, place: seat, rating: unknown"
    van = changed(van_file, (stated, "part: old-relay.yml, name: split-charge relay, place: seat"))
    assert [one.quantity for one in van.unknown if one.subject == "relay"] == ["rating"]
    assert ("value-unknown", "relay") in {(found.rule, found.subject) for found in run(van)}
