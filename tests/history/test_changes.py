"""Two revisions compared: each change is told once, with what follows from it, and nothing else is."""

import shutil
from pathlib import Path

import pytest

from tests.conftest import ROOT
from vandoc.analysis import Van
from vandoc.judgement.history import compare
from vandoc.reading.loader import load


@pytest.fixture
def changed(tmp_path: Path):
    """The changes from the small demonstration van to the same with some text replaced."""
    shutil.copytree(ROOT / "sites/wren", tmp_path / "wren")
    shutil.copytree(ROOT / "sites/parts", tmp_path / "parts")
    path = tmp_path / "wren/van.yml"
    text = path.read_text("utf-8")
    old = Van.of(load(path))

    def change(*replacements: tuple[str, str]):
        now = text
        for before, after in replacements:
            assert now.count(before) == 1, before
            now = now.replace(before, after)
        path.write_text(now, "utf-8")
        return compare(old, Van.of(load(path)))

    return change


def stated(changes):
    return [(c.group, c.name, c.key, c.old, c.new) for c in changes.stated]


def test_an_unchanged_van_has_no_changes(changed):
    none = changed()
    assert (none.stated, none.moved, none.came, none.went) == ((), (), (), ())
    assert [label.kind for label in none.labels] == ["code"]


def test_comments_order_of_keys_and_entries_of_days_are_no_change(changed):
    made = changed(
        ("  nights: 1", "  nights: 1 # one"),
        ("  revision: 1\n", ""),
        ("commissioning:\n", "services: [{date: 2026-04-01, by: B}]\ncommissioning:\n"),
    )
    assert stated(made) == []


def test_a_larger_battery_changes_its_capacity_and_its_label(changed):
    made = changed(("capacity: 110 Ah", "capacity: 130 Ah"))
    assert stated(made) == [("equipment", "house", "capacity", "110 Ah", "130 Ah")]
    assert ("capacity", "house", 110.0, 130.0) in [(m.kind, m.name, m.old, m.new) for m in made.moved]
    assert ("battery", "house", False) in [(one.kind, one.name, one.gone) for one in made.labels]
    assert not [one for one in made.labels if one.kind in ("cable", "fuse")]


def test_a_renamed_load_makes_the_legend_of_its_fuse_untrue(changed):
    made = changed(("name: roof lights", "name: ceiling lights"))
    assert stated(made) == [("loads", "roof-lights", "name", "roof lights", "ceiling lights")]
    legends = [one.name for one in made.labels if one.kind == "fuse"]
    assert len(legends) == 1
    assert legends[0].startswith("board.")


def test_a_fault_that_came_and_one_that_went_are_reported(changed):
    made = changed(("regulation: fixed", "regulation: smart"))
    assert ("split-charge-on-smart-alternator", "fail") in [(f.rule, f.severity) for f in made.came]
    assert made.went == ()
