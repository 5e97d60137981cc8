"""The record of alarms and of the work on the vehicle, asked and answered as at a terminal."""

import shutil

import pytest
from click.testing import CliRunner

from tests.conftest import ROOT
from vandoc.doors.cli import main
from vandoc.reading.loader import load


@pytest.fixture
def wren(tmp_path):
    shutil.copytree(ROOT / "sites/wren", tmp_path / "wren")
    shutil.copytree(ROOT / "sites/parts", tmp_path / "parts")
    shutil.rmtree(tmp_path / "wren/revisions", ignore_errors=True)
    return tmp_path / "wren/van.yml"


def run(wren, *options, answers):
    arguments = ["record", str(wren), "--work", "--date", "2026-03-14", *options]
    return CliRunner().invoke(main, arguments, input=answers)


def without(wren, *keys):
    lines = wren.read_text("utf-8").splitlines(keepends=True)
    wren.write_text("".join(line for line in lines if not line.startswith(keys)), "utf-8")


def test_what_is_missing_is_asked_and_saved_at_once(wren):
    without(wren, "  pull_test:", "  weight:")
    before = wren.read_text("utf-8")
    result = run(wren, answers="\n\nfour lugs pulled, none moved\nheavy\n71\n")
    assert result.exit_code == 0, result.output
    work = load(wren).system.installation
    assert (work.pull_test, work.weight_kg) == ("four lugs pulled, none moved", 71)
    assert work.body_bonding is None
    assert "Error" in result.output
    assert "2 saved." in result.output
    left = iter(wren.read_text("utf-8").splitlines())
    assert all(line in left for line in before.splitlines())


def test_lugs_that_were_pulled_are_asked_for_by_size_and_force(wren):
    without(wren, "  pulled:", "  - {area", "    - {area")
    assert load(wren).system.installation.pulled == []
    result = run(wren, answers="\n\nfirmly\n50 mm² 900 V\n50 mm² 900 N, 6 AWG: 0.5 kN, 2.5 230\n")
    assert result.exit_code == 0, result.output
    assert result.output.count("Error") == 2
    pulled = [(one.area_mm2, one.force_n) for one in load(wren).system.installation.pulled]
    assert pulled == [(50, 900), ("6 AWG", 500), (2.5, 230)]
    result = run(wren, "--all", answers="\n" * 30)
    assert "Lugs pulled" in result.output


def test_the_test_of_an_alarm_names_what_proved_it(wren):
    text = wren.read_text("utf-8").replace(", tested: 2025-09-02, tested_with: test gas}", "}", 1)
    wren.write_text(text, "utf-8")
    assert load(wren).system.alarms[0].tested is None
    result = run(wren, answers="shouting\ntest gas\nstop\n")
    assert result.exit_code == 0, result.output
    alarm = load(wren).system.alarms[0]
    assert (alarm.tested.isoformat(), alarm.tested_with) == ("2026-03-14", "test gas")
    assert "Error" in result.output


def test_nothing_is_asked_if_all_is_recorded_except_with_all(wren):
    text = wren.read_text("utf-8").replace(
        "  crimp_tool:", "  body_bonding: no mains\n  gas_pipe_bonding: no gas\n  crimp_tool:"
    )
    wren.write_text(text, "utf-8")
    assert "All work is recorded" in run(wren, answers="").output
    assert "tested with" in run(wren, "--all", answers="stop\n").output
