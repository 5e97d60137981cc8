"""The commands that write into a van file, asked and answered as at a terminal."""

import shutil
from pathlib import Path

import pytest
from click.testing import CliRunner

from tests.conftest import ROOT
from tests.recording.vans import state_sizes
from vandoc.analysis.commissioning import taken
from vandoc.doors.build import read
from vandoc.doors.cli import main
from vandoc.reading import editing
from vandoc.reading.archive import revisions
from vandoc.reading.loader import load


@pytest.fixture
def wren(tmp_path: Path) -> Path:
    shutil.copytree(ROOT / "sites/wren", tmp_path / "wren")
    shutil.copytree(ROOT / "sites/parts", tmp_path / "parts")
    shutil.rmtree(tmp_path / "wren/revisions", ignore_errors=True)
    state_sizes(tmp_path / "wren/van.yml")
    return tmp_path / "wren/van.yml"


def run(*arguments: object, answers: str = ""):
    return CliRunner().invoke(main, [str(argument) for argument in arguments], input=answers)


def lines_kept(before: str, after: str) -> bool:
    left = iter(after.splitlines())
    return all(line in left for line in before.splitlines())


def test_record_asks_in_order_saves_each_and_keeps_the_rest(wren):
    before = wren.read_text("utf-8")
    result = run("record", wren, "--date", "2026-03-14", answers="5 N·m\n\n6 N·m\nstop\n")
    assert result.exit_code == 0, result.output
    after = wren.read_text("utf-8")
    assert lines_kept(before, after)
    asked = [line for line in result.output.splitlines() if line.endswith("]")]
    assert [line.rpartition("[")[2] for line in asked[:3]] == [
        "torque.starter.+]",
        "torque.split-fuse.in]",
        "torque.split-fuse.out]",
    ]
    found = taken(load(wren).system)
    assert {name: one[0].value for name, one in found.items()} == {
        "torque.starter.+": 5.0,
        "torque.split-fuse.out": 6.0,
    }
    assert "2 saved" in result.output
    again = run("record", wren, "--date", "2026-03-14", answers="stop\n").output
    assert "[torque.starter.+]" not in again
    assert "[torque.split-fuse.in]" in again


def test_record_assesses_each_reading_at_once_and_asks_for_its_current(wren):
    order = list(read(wren).measurements)
    given = {"insulation.board": "5 kΩ", "drop.pump": "400 mV\n2 A", "drop.heater": "100 mV\n"}
    # The current is asked for where a drop was read: twice the drop at half the current is a poor joint.
    answers = "".join(f"{given.get(name, '')}\n" for name in order)
    result = run("record", wren, "--date", "2026-03-14", answers=answers)
    assert "saved: 5 kΩ, TOO LOW" in result.output
    assert "saved: 400 mV, TOO HIGH" in result.output
    assert "saved: 100 mV, pass\n" in result.output
    assert taken(load(wren).system)["drop.pump"][0].current_a == 2.0


WRONG = {
    "unit": ("9 V", "'9 V' is not a torque; write it like '7 N·m'"),
    "below nothing": ("-9 N·m", "'-9 N·m' is below 0; enter 0 or more"),
    "words": ("tight", "'tight' needs a number and a unit"),
}


@pytest.mark.parametrize(("answer", "said"), WRONG.values(), ids=WRONG)
def test_a_wrong_answer_is_refused_and_asked_again(wren, answer, said):
    result = run("record", wren, "--date", "2026-03-14", answers=f"{answer}\n5 N·m\nstop\n")
    assert said in result.output
    assert taken(load(wren).system)["torque.starter.+"][0].value == 5.0


DATES = {
    "2026-02-30": "'2026-02-30' is not a date; write it like 2026-05-12",
    "soon": "'soon' is not a date",
    "2999-01-01": "2999-01-01 is in the future",
    "2020-01-01": "2020-01-01 is before the van was built, 2025-09-02",
}


@pytest.mark.parametrize(("day", "said"), DATES.items())
def test_an_impossible_date_is_refused(wren, day, said):
    before = wren.read_bytes()
    result = run("record", wren, "--date", day, answers="5 N·m\n")
    assert (result.exit_code, result.exception.__class__) == (2, SystemExit)
    assert said in result.output
    assert wren.read_bytes() == before


def test_record_refuses_a_file_that_has_changed_meanwhile(wren, monkeypatch):
    mine = editing.save

    def slow(draft):
        wren.write_text(f"{wren.read_text('utf-8')}# hers\n", "utf-8")
        return mine(draft)

    monkeypatch.setattr(editing, "save", slow)
    result = run("record", wren, "--date", "2026-03-14", answers="5 N·m\n")
    assert result.exit_code == 2
    assert "changed by someone else after it was read; nothing was written" in result.output
    assert "measure:" not in wren.read_text("utf-8")
    assert "# hers" in wren.read_text("utf-8")


SERVICE = "\n".join(
    (
        "2026-04-01",
        "Bench",
        "51000 km",
        "pmup",  # refused
        "pump",
        "current: 4 A",
        "",
        "board",
        "",
        "",
        "re-torque",
        "polish",  # refused
        "",
        "A stronger pump: it is new.",
        "",
        "",
    )
)


def test_service_enters_what_was_done_changes_the_system_and_archives_it(wren):
    assert run("revise", wren, "--why", "handed over", "--date", "2026-03-01").exit_code == 0
    before = wren.read_text("utf-8")
    result = run("service", wren, answers=SERVICE)
    assert result.exit_code == 0, result.output
    assert "no item, load, cable or circuit is called 'pmup'; did you mean 'pump'?" in result.output
    assert "'polish' is not one of these" in result.output
    van_file = load(wren)
    service = van_file.system.services[-1]
    assert (service.by, service.odometer_km, service.replaced) == ("Bench", 51000, ["pump", "board"])
    assert (service.done, service.notes) == (["re-torque"], "A stronger pump: it is new.")
    assert van_file.system.loads["pump"].current_a == 4.0
    kept = revisions(van_file)
    assert [(one.number, one.why) for one in kept] == [
        (1, "handed over"),
        (2, "service: pump, board replaced"),
    ]
    assert kept[-1].mark in result.output
    assert lines_kept(
        "\n".join(line for line in before.splitlines() if "revision:" not in line and "  pump:" not in line),
        wren.read_text("utf-8"),
    )


def test_a_value_that_would_spoil_the_file_is_asked_for_again(wren):
    answers = SERVICE.replace("current: 4 A", "current: 4 kg\nmany: 1\ncurrent: 5 A")
    result = run("service", wren, answers=answers)
    assert result.exit_code == 0
    assert "Error: loads.pump.current: '4 kg' is not a current" in result.output
    assert "'many' is not a valid key here" in result.output
    assert load(wren).system.loads["pump"].current_a == 5.0


def test_revise_refuses_where_nothing_changed(wren):
    assert run("revise", wren, "--why", "one").exit_code == 0
    result = run("revise", wren, "--why", "two")
    assert result.exit_code == 2
    assert "unchanged since revision 1-" in result.output


@pytest.mark.parametrize("command", ["record", "service", "revise"])
def test_an_unusable_file_is_reported_with_its_place(wren, command):
    wren.write_text(wren.read_text("utf-8").replace("nights: 1", "nigths: 1"), "utf-8")
    result = run(command, wren, *(["--why", "x"] if command == "revise" else []), answers="\n" * 20)
    assert result.exit_code == 2
    assert "did you mean 'nights'?" in result.output


BAD = {
    "unit": ("{measure: drop.pump, value: 3 kg}", "'3 kg' is not a voltage; write it like '12 V'"),
    "no unit": ("{measure: drop.pump, value: '3'}", "'3' needs a number and a unit"),
    "negative": ("{measure: drop.pump, value: -3 V}", "'-3 V' is below 0; enter 0 or more"),
    "kind": ("{measure: dorp.pump, value: 3 V}", "no kind of measurement 'dorp'; did you mean 'drop'?"),
    "thing": ("{measure: drop.pmup, value: 3 V}", "did you mean 'pump'?"),
    "both": (
        "{measure: drop.pump, what: drop, value: 3 V}",
        "a reading needs 'measure' or 'what', and not both",
    ),
    "neither": ("{value: 3 V}", "a reading needs 'measure' or 'what', and not both"),
    "form": ("{measure: pump, value: 3 V}", "a measurement and its subject, such as 'drop.fridge'"),
}


@pytest.mark.parametrize(("reading", "said"), BAD.values(), ids=BAD)
def test_readings_written_by_hand_are_checked(wren, reading, said):
    text = wren.read_text("utf-8")
    line = text.splitlines().index("    readings:") + 2
    wren.write_text(text.replace("    readings:\n", f"    readings:\n      - {reading}\n", 1), "utf-8")
    result = run("check", wren)
    assert result.exit_code == 2
    assert said in result.output
    assert f"van.yml:{line}:" in result.output


SERVICES = {
    "a part that is not there": (
        "{date: 2026-04-01, by: B, replaced: [pmup]}",
        "there is no item, load, cable or circuit 'pmup'; did you mean 'pump'?",
    ),
    "no such day": ("{date: 2026-02-30, by: B}", "is not a date"),
    "before the van": ("{date: 2019-02-03, by: B}", "2019-02-03 is before the van was built"),
    "unknown task": (
        "{date: 2026-04-01, by: B, done: [polish]}",
        "'polish' is not valid here; use 're-torque', ",
    ),
}


@pytest.mark.parametrize(("entry", "said"), SERVICES.values(), ids=SERVICES)
def test_services_written_by_hand_are_checked(wren, entry, said):
    wren.write_text(f"{wren.read_text('utf-8')}\nservices:\n  - {entry}\n", "utf-8")
    result = run("check", wren)
    assert result.exit_code == 2
    assert said in result.output
